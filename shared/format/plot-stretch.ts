// A stretch of a plot seen by itself: the axes that belong to it, and its ends in the words of the axis.
import { dayTicks, dayWords } from "./day-axis.ts";
import { formatDuration } from "./duration.ts";
import { timeTicks } from "./time-axis.ts";
import { axisReader, clockStart } from "./plot-table.ts";
import { plotAxis, type PlotAxis, type PlotPoint, type PlotSeries, type PlotSpec, type PlotTick } from "./plot.ts";

/** Ends of what is seen, in units of the plot's x axis; `from` lies before `to`. */
export interface PlotStretch {
  readonly from: number;
  readonly to: number;
}

/** Steps between ticks of a day's hours [h]. */
const hourSteps = [1 / 12, 1 / 6, 1 / 4, 1 / 2, 1, 2, 3, 6];
const mostHourTicks = 8;
const tickCount = 10;

/**
 * The plot as it is drawn for a stretch of its x axis: x runs from end to end, y holds what is seen there.
 * @param series those that are shown; the whole plot with all of them keeps its own axes
 * @throws RangeError when the stretch has no length
 */
export function plotStretch(spec: PlotSpec, { from, to }: PlotStretch, series: readonly PlotSeries[]): PlotSpec {
  if (!(to > from)) throw new RangeError("A stretch of a plot needs a length.");
  const isWhole = from <= spec.x.min && to >= spec.x.max;
  if (isWhole && series.length === spec.series.length) return spec;
  const x = isWhole ? spec.x : { ...spec.x, min: from, max: to, ticks: ticksWithin(spec.x, { from, to }) };
  const heights = series.flatMap((each) => heightsWithin(each, { from, to })).filter((y) => Number.isFinite(y));
  const y = heights.length === 0 ? spec.y : plotAxis(spec.y.label, heights);
  return { ...spec, x, y, series };
}

/** One place on an axis in its own words: a day, a time of day, a time of exposure, or a number. */
export function axisWords(axis: PlotAxis, value: number): string {
  if (axis.readAs === "days") return dayWords(value);
  if (axis.readAs === "log-seconds") return formatDuration(10 ** value);
  return axisReader(axis)(value);
}

function ticksWithin(axis: PlotAxis, { from, to }: PlotStretch): PlotTick[] {
  if (axis.readAs === "days") return dayTicks(from, to);
  if (axis.readAs === "times") return timeTicks(from, to);
  const start = clockStart(axis);
  if (start !== null) return hourTicks(axis, start, { from, to });
  const slack = 1e-9 * (to - from);
  return plotAxis(axis.label, [from, to], { count: tickCount }).ticks.filter(
    ({ at }) => at >= from - slack && at <= to + slack,
  );
}

function hourTicks(axis: PlotAxis, start: number, { from, to }: PlotStretch): PlotTick[] {
  const step = hourSteps.find((hours) => (to - from) / hours <= mostHourTicks) ?? 6;
  const read = axisReader(axis);
  const first = Math.ceil((from - start) / step - 1e-9);
  const last = Math.floor((to - start) / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => {
    const at = start + (first + index) * step;
    return { at, label: read(at) };
  });
}

/** Every height that a series has within the stretch, at its ends too where it goes on beyond them. */
function heightsWithin({ kind, points }: PlotSeries, { from, to }: PlotStretch): number[] {
  const within = points.filter(({ x }) => x >= from && x <= to).flatMap(heightsOf);
  if (kind === "points" || kind === "marks") return within;
  const rising = [...points].sort((a, b) => a.x - b.x);
  const atEnds = [from, to].flatMap((end) => {
    const next = rising.findIndex(({ x }) => x >= end);
    const [before, after] = [rising[next - 1], rising[next]];
    if (before === undefined || after === undefined) return [];
    const share = (end - before.x) / (after.x - before.x || 1);
    const [low, high] = [heightsOf(before), heightsOf(after)];
    return low.map((y, index) => y + share * ((high[index] ?? y) - y));
  });
  return [...within, ...atEnds];
}

function heightsOf({ y, lower, upper }: PlotPoint): number[] {
  return [y, lower ?? y, upper ?? y];
}
