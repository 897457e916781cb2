// What is read of a plot at a place: the nearest of its points, and the figures of it in words.
import { placeOnAxis, type PlotFrame } from "./plot-geometry.ts";
import { axisReader } from "./plot-table.ts";
import type { PlotAxis, PlotPoint, PlotSeries, PlotSpec } from "./plot.ts";

/** A point of a plot on its paper. */
export interface ReadPoint {
  readonly x: number;
  readonly y: number;
  /** "step 7: 0.95", or the figures on both axes where the point has no figure in its name. */
  readonly words: string;
}

/** Decimals kept of a number on an axis: a ten-thousandth of the axis is finer than a screen. */
function keptDecimals({ min, max }: PlotAxis): number {
  return Math.min(15, Math.max(0, 4 - Math.floor(Math.log10(max - min))));
}

/**
 * What a page needs of a plot to read its figures and to look closer: numbers no finer than a screen shows a tenth of
 * the plot.
 * @returns the plot in fewer letters of JSON
 */
export function readablePlot(spec: PlotSpec): PlotSpec {
  const [decimalsX, decimalsY] = [keptDecimals(spec.x), keptDecimals(spec.y)];
  const keptX = (value: number): number => Number(value.toFixed(decimalsX));
  const keptY = (value: number): number => Number(value.toFixed(decimalsY));
  const kept = ({ x, y, lower, upper, label, leftOut }: PlotPoint): PlotPoint => ({
    x: keptX(x),
    y: keptY(y),
    ...(lower === undefined || upper === undefined ? {} : { lower: keptY(lower), upper: keptY(upper) }),
    ...(label === undefined ? {} : { label }),
    ...(leftOut === true ? { leftOut } : {}),
  });
  return {
    ...spec,
    series: spec.series.map((series): PlotSeries => ({ ...series, points: series.points.map(kept) })),
  };
}

/**
 * The points that can be read of a plot, series by series, each from left to right; bands are read by their lines.
 * @param frame the box of the axes on the paper
 */
export function readPoints(spec: PlotSpec, frame: PlotFrame): readonly (readonly ReadPoint[])[] {
  const toX = placeOnAxis(spec.x, frame.left, frame.right);
  const toY = placeOnAxis(spec.y, frame.bottom, frame.top);
  const inWords = wordsOf(spec);
  return spec.series
    .filter(({ kind, points }) => kind !== "band" && points.length > 0)
    .map((series) =>
      series.points
        .map((point) => ({ x: toX(point.x), y: toY(point.y), words: inWords(series, point) }))
        .sort((a, b) => a.x - b.x),
    );
}

function wordsOf({ x, y, series: all }: PlotSpec): (series: PlotSeries, point: PlotPoint) => string {
  const [readX, readY] = [axisReader(x), axisReader(y)];
  // Where several series name their points, a name alone does not say whose it is.
  const isOneOfSeveral = all.filter(({ kind }) => kind === "points").length > 1;
  return ({ name }, point) => {
    const label = point.label ?? "";
    if (/\d/.test(label)) return isOneOfSeveral ? `${name}: ${label}` : label;
    const range =
      point.lower === undefined || point.upper === undefined ? "" : ` (${readY(point.lower)} to ${readY(point.upper)})`;
    return `${label === "" ? name : label}: ${x.label} ${readX(point.x)}; ${y.label} ${readY(point.y)}${range}`;
  };
}

/** Place of a point among the points of a plot. */
export interface ReadPlace {
  readonly series: number;
  readonly index: number;
}

/**
 * The point nearest to a place on the paper.
 * @returns null where there is no point at all
 */
export function nearestPoint(
  series: readonly (readonly ReadPoint[])[],
  { x, y }: { readonly x: number; readonly y: number },
): ReadPlace | null {
  let nearest: ReadPlace | null = null;
  let way = Infinity;
  series.forEach((points, place) =>
    points.forEach((point, index) => {
      const far = Math.hypot(point.x - x, point.y - y);
      if (far >= way) return;
      way = far;
      nearest = { series: place, index };
    }),
  );
  return nearest;
}

/** The keys that move along a plot, and what they do. */
const keyMoves = {
  ArrowLeft: { along: -1, across: 0 },
  ArrowRight: { along: 1, across: 0 },
  ArrowUp: { along: 0, across: -1 },
  ArrowDown: { along: 0, across: 1 },
} as const;

/**
 * Where a key leads: left and right along a series, up and down to the next series at the same x.
 * @returns null for a key that leads nowhere, and for a plot without points
 */
export function pointAfterKey(
  series: readonly (readonly ReadPoint[])[],
  from: ReadPlace | null,
  key: string,
): ReadPlace | null {
  const move = (keyMoves as Partial<Record<string, (typeof keyMoves)[keyof typeof keyMoves]>>)[key];
  const first = series[0];
  if (move === undefined || first === undefined) return null;
  if (from === null) return { series: 0, index: move.along < 0 ? first.length - 1 : 0 };
  const place = Math.min(series.length - 1, Math.max(0, from.series + move.across));
  const points = series[place] ?? first;
  if (place === from.series)
    return { series: place, index: Math.min(points.length - 1, Math.max(0, from.index + move.along)) };
  const x = series[from.series]?.[from.index]?.x ?? 0;
  const ways = points.map((point) => Math.abs(point.x - x));
  return { series: place, index: ways.indexOf(Math.min(...ways)) };
}
