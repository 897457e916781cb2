// The still picture of a plot: geometry only, printed by views/partials/plot.ejs. It is what shows without script and
// in print.
import { plotGeometry, type PlacedPoint, type PlacedSeries } from "#shared/format/plot-geometry.ts";
import type { PlotSeries, PlotSpec } from "#shared/format/plot.ts";

/** The box that a plot is drawn in, and the room round its axes. */
export interface SvgSize {
  readonly width: number;
  readonly height: number;
  readonly margin: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
}

/** A plot that stands alone on a page. */
const usualSize: SvgSize = { width: 720, height: 440, margin: { left: 66, right: 18, top: 16, bottom: 58 } };

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
export function px(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Geometry of a plot in a box, 720 by 440 units unless said otherwise; what lies outside the axes is held there. */
export function svgPlot(spec: PlotSpec, { width, height, margin }: SvgSize = usualSize): SvgPlot {
  const frame = { left: margin.left, top: margin.top, right: width - margin.right, bottom: height - margin.bottom };
  const { xTicks, yTicks, lines, series } = plotGeometry(spec, frame);
  const beside = (x: number): { anchor: "start" | "end"; labelX: number } =>
    x > frame.right - 110 ? { anchor: "end", labelX: px(x - 9) } : { anchor: "start", labelX: px(x + 9) };
  const rounded = <Tick extends { at: number }>(tick: Tick): Tick => ({ ...tick, at: px(tick.at) });
  return {
    width,
    height,
    frame,
    xTicks: xTicks.map(rounded),
    yTicks: yTicks.map(rounded),
    xLabel: spec.x.label,
    yLabel: spec.y.label,
    lines: lines.map(({ x, label }) => ({ x: px(x), label, ...beside(px(x)) })),
    series: series.map((each) => ({
      name: each.name,
      kind: each.kind,
      look: each.look,
      isKeyed: each.isKeyed,
      keyMarker:
        each.kind === "marks" ? markerPath(1, 18, 8, markRadius - 0.5) : markerPath(each.look, 18, 8, pointRadius),
      path: `${linesThrough(each.path)}${each.kind === "band" && each.path.length > 0 ? "Z" : ""}`,
      points: each.points.map((point) => svgPoint(point, each)),
    })),
  };

  function svgPoint(point: PlacedPoint, { kind, look }: PlacedSeries): SvgSeries["points"][number] {
    const [x, y] = [px(point.x), px(point.y)];
    return {
      marker: kind === "marks" ? markerPath(1, x, y, markRadius) : markerPath(look, x, y, pointRadius),
      x,
      y,
      lowerY: point.lowerY === null ? null : px(point.lowerY),
      upperY: point.upperY === null ? null : px(point.upperY),
      label: point.label,
      leftOut: point.leftOut,
      ...beside(x),
    };
  }
}

function linesThrough(places: readonly { readonly x: number; readonly y: number }[]): string {
  return places.map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${px(x)} ${px(y)}`).join("");
}
