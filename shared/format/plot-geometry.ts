// Where everything of a plot lies, in whatever units its paper has: the page's picture and the printed report draw from
// it.
import type { PlotAxis, PlotPoint, PlotSeries, PlotSpec } from "./plot.ts";

/** The box of the axes; y grows downwards. */
export interface PlotFrame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

export interface PlacedPoint extends Place {
  /** Ends of the error bar; null where there is none. */
  readonly lowerY: number | null;
  readonly upperY: number | null;
  readonly label: string;
  readonly leftOut: boolean;
}

export interface PlacedSeries {
  readonly name: string;
  readonly kind: PlotSeries["kind"];
  /** Which of the looks, from 1. */
  readonly look: number;
  readonly isKeyed: boolean;
  /** Corners of the line, or of the band's outline, upper edge first; empty for points and marks. */
  readonly path: readonly Place[];
  /** Points and marks; empty for lines and bands. */
  readonly points: readonly PlacedPoint[];
}

export interface PlotGeometry {
  readonly xTicks: readonly { readonly at: number; readonly label: string }[];
  readonly yTicks: readonly { readonly at: number; readonly label: string }[];
  /** Along the upper edge, in another measure. */
  readonly aboveTicks: readonly { readonly at: number; readonly label: string }[];
  /** Straight lines across the plot. */
  readonly lines: readonly { readonly x: number; readonly label: string }[];
  readonly series: readonly PlacedSeries[];
}

/** Place on an axis that runs from `from` to `to`; what lies outside the axis is held at its end. */
export function placeOnAxis({ min, max }: PlotAxis, from: number, to: number): (value: number) => number {
  return (value) => from + Math.min(1, Math.max(0, (value - min) / (max - min))) * (to - from);
}

/** Places everything of a plot in a frame. */
export function plotGeometry(spec: PlotSpec, frame: PlotFrame): PlotGeometry {
  const toX = placeOnAxis(spec.x, frame.left, frame.right);
  const toY = placeOnAxis(spec.y, frame.bottom, frame.top);
  const at = (x: number, y: number): Place => ({ x: toX(x), y: toY(y) });
  return {
    xTicks: spec.x.ticks.map((tick) => ({ at: toX(tick.at), label: tick.label })),
    yTicks: spec.y.ticks.map((tick) => ({ at: toY(tick.at), label: tick.label })),
    aboveTicks: (spec.above?.ticks ?? []).map((tick) => ({ at: toX(tick.at), label: tick.label })),
    lines: (spec.lines ?? []).map((line) => ({ x: toX(line.x), label: line.label })),
    series: spec.series.map((series, index) => ({
      name: series.name,
      kind: series.kind,
      look: series.look ?? index + 1,
      isKeyed: series.unkeyed !== true,
      path: pathOf(series, at),
      points: series.kind === "points" || series.kind === "marks" ? series.points.map((each) => placed(each, at)) : [],
    })),
  };
}

function pathOf({ kind, points }: PlotSeries, at: (x: number, y: number) => Place): Place[] {
  if (kind === "line") return points.map(({ x, y }) => at(x, y));
  if (kind !== "band" || points.length < 2) return [];
  return [
    ...points.map((point) => at(point.x, point.upper ?? point.y)),
    ...points.toReversed().map((point) => at(point.x, point.lower ?? point.y)),
  ];
}

function placed(point: PlotPoint, at: (x: number, y: number) => Place): PlacedPoint {
  return {
    ...at(point.x, point.y),
    lowerY: point.lower === undefined ? null : at(point.x, point.lower).y,
    upperY: point.upper === undefined ? null : at(point.x, point.upper).y,
    label: point.label ?? "",
    leftOut: point.leftOut ?? false,
  };
}
