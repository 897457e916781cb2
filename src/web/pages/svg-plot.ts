// The still picture of a plot: geometry only, printed by views/partials/plot.ejs. It is what shows without script and in print.
import type { PlotSeries, PlotSpec } from "#shared/format/plot.ts";

const width = 720;
const height = 440;
const margin = { left: 66, right: 18, top: 16, bottom: 58 };

export interface SvgPlot {
  readonly width: number;
  readonly height: number;
  readonly frame: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };
  readonly xTicks: readonly { readonly at: number; readonly label: string }[];
  readonly yTicks: readonly { readonly at: number; readonly label: string }[];
  readonly xLabel: string;
  readonly yLabel: string;
  readonly lines: readonly { readonly x: number; readonly label: string; readonly anchor: "start" | "end"; readonly labelX: number }[];
  readonly series: readonly SvgSeries[];
}

export interface SvgSeries {
  readonly name: string;
  readonly kind: PlotSeries["kind"];
  readonly look: number;
  /** Path of the line or outline of the band; empty for points. */
  readonly path: string;
  readonly points: readonly { readonly x: number; readonly y: number; readonly lowerY: number | null; readonly upperY: number | null; readonly label: string; readonly leftOut: boolean; readonly anchor: "start" | "end"; readonly labelX: number }[];
}

/** One decimal of a pixel is enough. */
function px(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Geometry of a plot in a box of 720 by 440 units; values outside the axes are held at the frame. */
export function svgPlot(spec: PlotSpec): SvgPlot {
  const frame = { left: margin.left, top: margin.top, right: width - margin.right, bottom: height - margin.bottom };
  const held = (share: number): number => Math.min(1, Math.max(0, share));
  const toX = (value: number): number => px(frame.left + held((value - spec.x.min) / (spec.x.max - spec.x.min)) * (frame.right - frame.left));
  const toY = (value: number): number => px(frame.bottom - held((value - spec.y.min) / (spec.y.max - spec.y.min)) * (frame.bottom - frame.top));
  const beside = (x: number): { anchor: "start" | "end"; labelX: number } => (x > frame.right - 110 ? { anchor: "end", labelX: px(x - 9) } : { anchor: "start", labelX: px(x + 9) });
  const pathOf = (points: readonly { x: number; y: number }[]): string => points.map((point, index) => `${index === 0 ? "M" : "L"}${toX(point.x)} ${toY(point.y)}`).join("");
  return {
    width,
    height,
    frame,
    xTicks: spec.x.ticks.map((tick) => ({ at: toX(tick.at), label: tick.label })),
    yTicks: spec.y.ticks.map((tick) => ({ at: toY(tick.at), label: tick.label })),
    xLabel: spec.x.label,
    yLabel: spec.y.label,
    lines: (spec.lines ?? []).map((line) => ({ x: toX(line.x), label: line.label, ...beside(toX(line.x)) })),
    series: spec.series.map((series, index) => ({
      name: series.name,
      kind: series.kind,
      look: series.look ?? index + 1,
      path:
        series.kind === "line"
          ? pathOf(series.points)
          : series.kind === "band" && series.points.length > 1
            ? `${pathOf(series.points.map((point) => ({ x: point.x, y: point.upper ?? point.y })))}L${pathOf(series.points.toReversed().map((point) => ({ x: point.x, y: point.lower ?? point.y }))).slice(1)}Z`
            : "",
      points:
        series.kind === "points" || series.kind === "marks"
          ? series.points.map((point) => ({
              x: toX(point.x),
              y: toY(point.y),
              lowerY: point.lower === undefined ? null : toY(point.lower),
              upperY: point.upper === undefined ? null : toY(point.upper),
              label: point.label ?? "",
              leftOut: point.leftOut ?? false,
              ...beside(toX(point.x)),
            }))
          : [],
    })),
  };
}
