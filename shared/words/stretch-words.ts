// The stretch of a plot that is looked at closer, in words.
import { formatFixed } from "#shared/format/number.ts";
import { axisWords, type PlotStretch } from "#shared/format/plot-stretch.ts";
import type { PlotAxis } from "#shared/format/plot.ts";

/** The ends of a stretch in the words of the axis: "time of day (Amsterdam): 10:20 to 13:05". */
export function stretchWords(axis: PlotAxis, { from, to }: PlotStretch): string {
  const ends = `${axisWords(axis, from)} to ${axisWords(axis, to)}`;
  if (axis.readAs !== "log-seconds") return `${axis.label}: ${ends}`;
  return `log H ${formatFixed(from, 2)} to ${formatFixed(to, 2)}: ${ends} in clear light`;
}
