// The still picture of a plot: geometry only, printed by views/partials/plot.ejs. It is what shows without script and
// in print.
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
  readonly lines: readonly {
    readonly x: number;
    readonly label: string;
    readonly anchor: "start" | "end";
    readonly labelX: number;
  }[];
  readonly series: readonly SvgSeries[];
}

interface SvgSeries {
  readonly name: string;
  readonly kind: PlotSeries["kind"];
  readonly look: number;
  readonly isKeyed: boolean;
  /** Marker of the key, in a box of 36 by 16. */
  readonly keyMarker: string;
  /** Path of the line or outline of the band; empty for points. */
  readonly path: string;
  readonly points: readonly {
    readonly marker: string;
    readonly x: number;
    readonly y: number;
    readonly lowerY: number | null;
    readonly upperY: number | null;
    readonly label: string;
    readonly leftOut: boolean;
    readonly anchor: "start" | "end";
    readonly labelX: number;
  }[];
}

const pointRadius = 4.5;
const markRadius = 7;

/**
 * Outline of a marker. Each look has a shape of its own, so that colour is never needed: circle, square, triangle,
 * diamond, cross, star.
 */
function markerPath(look: number, x: number, y: number, radius: number): string {
  const corners = (...offsets: readonly (readonly [number, number])[]): string =>
    `M${offsets.map(([dx, dy]) => `${px(x + dx * radius)} ${px(y + dy * radius)}`).join("L")}Z`;
  switch (((look - 1) % 6) + 1) {
    case 2:
      return corners([-0.85, -0.85], [0.85, -0.85], [0.85, 0.85], [-0.85, 0.85]);
    case 3:
      return corners([0, -1.1], [1.05, 0.8], [-1.05, 0.8]);
    case 4:
      return corners([0, -1.2], [1.2, 0], [0, 1.2], [-1.2, 0]);
    case 5:
      return corners(
        [-0.35, -1.1],
        [0.35, -1.1],
        [0.35, -0.35],
        [1.1, -0.35],
        [1.1, 0.35],
        [0.35, 0.35],
        [0.35, 1.1],
        [-0.35, 1.1],
        [-0.35, 0.35],
        [-1.1, 0.35],
        [-1.1, -0.35],
        [-0.35, -0.35],
      );
    case 6:
      return corners(
        [0, -1.3],
        [0.3, -0.4],
        [1.2, -0.4],
        [0.5, 0.2],
        [0.8, 1.1],
        [0, 0.55],
        [-0.8, 1.1],
        [-0.5, 0.2],
        [-1.2, -0.4],
        [-0.3, -0.4],
      );
    default:
      return (
        `M${px(x - radius)} ${px(y)}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 ` +
        `${-2 * radius} 0Z`
      );
  }
}

/** One decimal of a pixel is enough. */
function px(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Geometry of a plot in a box of 720 by 440 units; values outside the axes are held at the frame. */
export function svgPlot(spec: PlotSpec): SvgPlot {
  const frame = { left: margin.left, top: margin.top, right: width - margin.right, bottom: height - margin.bottom };
  const held = (share: number): number => Math.min(1, Math.max(0, share));
  const toX = (value: number): number =>
    px(frame.left + held((value - spec.x.min) / (spec.x.max - spec.x.min)) * (frame.right - frame.left));
  const toY = (value: number): number =>
    px(frame.bottom - held((value - spec.y.min) / (spec.y.max - spec.y.min)) * (frame.bottom - frame.top));
  const beside = (x: number): { anchor: "start" | "end"; labelX: number } =>
    x > frame.right - 110 ? { anchor: "end", labelX: px(x - 9) } : { anchor: "start", labelX: px(x + 9) };
  const pathOf = (points: readonly { x: number; y: number }[]): string =>
    points.map((point, index) => `${index === 0 ? "M" : "L"}${toX(point.x)} ${toY(point.y)}`).join("");
  // A band goes along its upper edge and back along its lower one.
  const pathOfSeries = ({ kind, points }: PlotSpec["series"][number]): string => {
    if (kind === "line") return pathOf(points);
    if (kind !== "band" || points.length < 2) return "";
    const upper = points.map((point) => ({ x: point.x, y: point.upper ?? point.y }));
    const lower = points.map((point) => ({ x: point.x, y: point.lower ?? point.y })).reverse();
    return `${pathOf(upper)}L${pathOf(lower).slice(1)}Z`;
  };
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
      isKeyed: series.unkeyed !== true,
      keyMarker:
        series.kind === "marks"
          ? markerPath(1, 18, 8, markRadius - 0.5)
          : markerPath(series.look ?? index + 1, 18, 8, pointRadius),
      path: pathOfSeries(series),
      points:
        series.kind === "points" || series.kind === "marks"
          ? series.points.map((point) => ({
              marker:
                series.kind === "marks"
                  ? markerPath(1, toX(point.x), toY(point.y), markRadius)
                  : markerPath(series.look ?? index + 1, toX(point.x), toY(point.y), pointRadius),
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
