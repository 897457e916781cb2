// A plot in figures: the rows that are read where it cannot be seen, and that a table to take away holds.
import { formatDuration } from "./duration.ts";
import { formatFixed } from "./number.ts";
import type { PlotAxis, PlotPoint, PlotSeries, PlotSpec } from "./plot.ts";

/** Points of a line that are read out; all of them stand in the table to take away. */
const mostLinePoints = 12;

interface PlotRow {
  readonly series: string;
  readonly x: string;
  readonly y: string;
  /** "0.42 to 0.61"; empty where there is none. */
  readonly range: string;
  /** What the point is called; empty where it has no name. */
  readonly label: string;
}

export interface PlotTable {
  readonly x: string;
  readonly y: string;
  readonly rows: readonly PlotRow[];
  /** Whether lines are told by some of their points. */
  readonly isShortened: boolean;
}

/** Decimals that an axis is read to: one more than its ticks need. */
function decimalsOf({ min, max }: PlotAxis): number {
  return Math.min(4, Math.max(0, 2 - Math.floor(Math.log10(max - min))));
}

const clock = /^(\d{1,2}):(\d\d)$/;

function clockMinutesOf(label: string): number | null {
  const match = clock.exec(label);
  return match === null ? null : Number(match[1]) * 60 + Number(match[2]);
}

/** Where the first tick of an axis of the day's hours lies; null for every other axis. */
export function clockStart({ ticks, readAs }: PlotAxis): number | null {
  if (readAs !== undefined) return null;
  const [first, second] = ticks;
  if (first === undefined || second === undefined) return null;
  return clockMinutesOf(first.label) === null || clockMinutesOf(second.label) === null ? null : first.at;
}

/** Writes a place on an axis: by the clock where its ticks are times of day, as a number elsewhere. */
export function axisReader(axis: PlotAxis): (value: number) => string {
  if (axis.readAs === "times") return (value) => formatDuration(10 ** value);
  const [first, second] = axis.ticks;
  const start = first === undefined ? null : clockMinutesOf(first.label);
  const next = second === undefined ? null : clockMinutesOf(second.label);
  if (first === undefined || second === undefined || start === null || next === null) {
    const decimals = decimalsOf(axis);
    return (value) => formatFixed(value, decimals);
  }
  const day = 24 * 60;
  const minutesPerUnit = ((next - start + day) % day) / (second.at - first.at);
  return (value) => {
    const minutes = ((Math.round(start + (value - first.at) * minutesPerUnit) % day) + day) % day;
    return `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
  };
}

/** A line's points, evenly chosen; of points and marks all. */
function toldPoints({ kind, points }: PlotSeries): readonly PlotPoint[] {
  if (kind === "points" || kind === "marks" || points.length <= mostLinePoints) return points;
  const step = (points.length - 1) / (mostLinePoints - 1);
  return Array.from({ length: mostLinePoints }, (_, index) => points[Math.round(index * step)]!);
}

/** A plot as rows to read. */
export function plotTable(spec: PlotSpec): PlotTable {
  const [readX, readY] = [axisReader(spec.x), axisReader(spec.y)];
  const rows = spec.series.flatMap((series) =>
    toldPoints(series).map((point): PlotRow => {
      const { x, y, lower, upper, label = "" } = point;
      return {
        series: series.name,
        x: readX(x),
        y: readY(y),
        range: lower === undefined || upper === undefined ? "" : `${readY(lower)} to ${readY(upper)}`,
        label: point.leftOut === true ? `${label}${label === "" ? "" : ", "}left out` : label,
      };
    }),
  );
  const lines = (spec.lines ?? []).map(({ x, label }): PlotRow => ({
    series: "line across",
    x: readX(x),
    y: "",
    range: "",
    label,
  }));
  return {
    x: spec.x.label,
    y: spec.y.label,
    rows: [...rows, ...lines],
    isShortened: spec.series.some((series) => toldPoints(series).length < series.points.length),
  };
}
