// A lamp's speed over its hours as a plot, in stops against its first test.
import { formatStops } from "#shared/format/number.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { lampAgeingWords } from "#shared/words/lamp-words.ts";
import type { LampHistory } from "#src/studio/lamp-history.ts";

/** The plot, or null while fewer than two different hours were noted. */
export function lampPlot({ speeds, ageing }: LampHistory): PlotSpec | null {
  const sorted = [...speeds].sort((a, b) => a.hours - b.hours);
  const [first] = sorted;
  const last = sorted.at(-1);
  if (first === undefined || last === undefined || first.hours === last.hours) return null;
  const stops = (logSpeed: number): number => stopsFromLogH(logSpeed - first.logSpeed);
  const points = sorted.map(({ hours, logSpeed }) => ({
    x: hours,
    y: stops(logSpeed),
    label: `${Math.round(hours)} h: ${formatStops(stops(logSpeed))}`,
  }));
  const slope = ageing.slopePer100Hours;
  // The trend line goes through the middle of the tests.
  const middle = {
    hours: sorted.reduce((sum, each) => sum + each.hours, 0) / sorted.length,
    logSpeed: sorted.reduce((sum, each) => sum + each.logSpeed, 0) / sorted.length,
  };
  const trend =
    slope === null
      ? []
      : [first.hours, last.hours].map((hours) => ({
          x: hours,
          y: stops(middle.logSpeed + (slope * (hours - middle.hours)) / 100),
        }));
  return {
    title: "Speed over lamp hours",
    summary: lampAgeingWords(ageing.finding),
    x: plotAxis(
      "hours the lamp has burned",
      sorted.map(({ hours }) => hours),
    ),
    y: plotAxis("speed, in stops against its first test", [0, ...points.map(({ y }) => y), ...trend.map(({ y }) => y)]),
    series: [
      { name: "tests", kind: "points", look: 1, points },
      ...(trend.length === 0 ? [] : [{ name: "robust trend", kind: "line" as const, look: 2, points: trend }]),
    ],
  };
}
