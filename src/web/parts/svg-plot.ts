// The picture of a plot: geometry only, printed by views/partials/plot.ejs, once for a wide and once for a narrow
// place.
import { plotGeometry, type PlacedPoint, type PlacedSeries } from "#shared/format/plot-geometry.ts";
import type { PlotSeries, PlotSpec } from "#shared/format/plot.ts";
import { wrappedLines } from "#shared/format/wrapped-lines.ts";

/** The box that a plot is drawn in, and the room round its axes. */
export interface SvgSize {
  readonly width: number;
  readonly height: number;
  readonly margin: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
}

/** A plot that stands alone on a page. */
const usualSize: SvgSize = { width: 720, height: 440, margin: { left: 66, right: 18, top: 16, bottom: 58 } };
/** On a phone or in a column: the name of the upright axis lies above it, long names take several lines. */
const narrowSize: SvgSize = { width: 400, height: 330, margin: { left: 52, right: 14, top: 14, bottom: 32 } };
const lineHeight = 19;
/** Width of a letter of the drawing's type, and what stays free between two words [units of the drawing]. */
const letterWidth = 7.6;
const wordGap = 10;
const letterHeight = 11;

interface Place {
  readonly x: number;
  readonly y: number;
}

export interface SvgPlot {
  readonly width: number;
  readonly height: number;
  readonly frame: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };
  readonly xTicks: readonly { readonly at: number; readonly label: string }[];
  readonly yTicks: readonly { readonly at: number; readonly label: string }[];
  /** Along the upper edge, in another measure; empty without one. */
  readonly aboveTicks: readonly { readonly at: number; readonly label: string }[];
  readonly aboveLabel: string;
  readonly xLabel: string;
  readonly yLabel: string;
  /** Names of the axes in lines of a narrow drawing's width; empty in a wide one. */
  readonly axisLines: { readonly x: readonly string[]; readonly y: readonly string[] };
  readonly lines: readonly {
    readonly x: number;
    readonly label: string;
    readonly anchor: "start" | "end";
    readonly labelX: number;
    readonly labelY: number;
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

/** A plot for a wide and for a narrow place. */
export function svgPlots(spec: PlotSpec): { readonly name: "wide" | "narrow"; readonly drawing: SvgPlot }[] {
  return [
    { name: "wide", drawing: svgPlot(spec) },
    { name: "narrow", drawing: narrowPlot(spec) },
  ];
}

function narrowPlot(spec: PlotSpec): SvgPlot {
  const { width, height, margin } = narrowSize;
  const lettersInLine = Math.floor(width / letterWidth);
  const axisLines = { x: wrappedLines(spec.x.label, lettersInLine), y: wrappedLines(spec.y.label, lettersInLine) };
  const top = margin.top + lineHeight * axisLines.y.length;
  const bottom = margin.bottom + lineHeight * axisLines.x.length;
  const drawing = svgPlot(spec, {
    width,
    height: height + lineHeight * (axisLines.x.length + axisLines.y.length),
    margin: { ...margin, top, bottom },
  });
  return { ...drawing, axisLines, xTicks: withRoom(drawing.xTicks), aboveTicks: withRoom(drawing.aboveTicks) };
}

/** Ticks whose words do not fit beside each other: every second, third … keeps its words. */
function withRoom(ticks: SvgPlot["xTicks"]): SvgPlot["xTicks"] {
  const halfWidth = ({ label }: { label: string }): number => (label.length * letterWidth) / 2;
  const fits = (every: number): boolean => {
    const named = ticks.filter((_, index) => index % every === 0);
    return named.every((tick, index) => {
      const next = named[index + 1];
      return next === undefined || next.at - tick.at >= halfWidth(tick) + halfWidth(next) + wordGap;
    });
  };
  let every = 1;
  while (every < ticks.length && !fits(every)) every += 1;
  return ticks.map((tick, index) => (index % every === 0 ? tick : { ...tick, label: "" }));
}

/** Geometry of a plot in a box, 720 by 440 units unless said otherwise; what lies outside the axes is held there. */
export function svgPlot(spec: PlotSpec, { width, height, margin }: SvgSize = usualSize): SvgPlot {
  const frame = {
    left: margin.left,
    top: margin.top + (spec.above === undefined ? 0 : lineHeight),
    right: width - margin.right,
    bottom: height - margin.bottom,
  };
  const { xTicks, yTicks, aboveTicks, lines, series } = plotGeometry(spec, frame);
  const beside = (x: number, label: string): { anchor: "start" | "end"; labelX: number } =>
    x + 9 + label.length * letterWidth > frame.right
      ? { anchor: "end", labelX: px(x - 9) }
      : { anchor: "start", labelX: px(x + 9) };
  const rounded = <Tick extends { at: number }>(tick: Tick): Tick => ({ ...tick, at: px(tick.at) });
  return {
    width,
    height,
    frame,
    xTicks: xTicks.map(rounded),
    yTicks: yTicks.map(rounded),
    // Where the axis begins, its name stands before the first tick.
    aboveTicks: aboveTicks.map(rounded).filter(({ at }) => at > frame.left + letterWidth * 2),
    aboveLabel: spec.above?.label ?? "",
    xLabel: spec.x.label,
    yLabel: spec.y.label,
    axisLines: { x: [], y: [] },
    lines: lines.map(({ x, label }) => {
      const place = beside(px(x), label);
      return { x: px(x), label, ...place, labelY: freeHeight(series, { ...place, label }, frame) };
    }),
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
      ...beside(x, point.label),
    };
  }
}

/** Where a word beside an upright line lies off the curves: at its head, else at its foot. */
function freeHeight(
  series: readonly PlacedSeries[],
  word: { readonly label: string; readonly anchor: "start" | "end"; readonly labelX: number },
  frame: SvgPlot["frame"],
): number {
  const [head, foot] = [frame.top + 16, frame.bottom - 8];
  const width = word.label.length * letterWidth;
  const left = word.anchor === "start" ? word.labelX : word.labelX - width;
  const meets = (from: Place, to: Place, baseline: number): boolean =>
    Math.max(from.x, to.x) > left - markRadius &&
    Math.min(from.x, to.x) < left + width + markRadius &&
    Math.max(from.y, to.y) > baseline - letterHeight - markRadius &&
    Math.min(from.y, to.y) < baseline + markRadius;
  const isCrossed = (baseline: number): boolean =>
    series.some(
      ({ path, points }) =>
        path.some((to, index) => meets(path[index - 1] ?? to, to, baseline)) ||
        points.some((point) => meets(point, point, baseline)),
    );
  return px(isCrossed(head) && !isCrossed(foot) ? foot : head);
}

function linesThrough(places: readonly Place[]): string {
  return places.map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${px(x)} ${px(y)}`).join("");
}
