// The curve drawn over its own strip: each dot stands above the step it was measured in, the answer and its range on
// the same axis, with minutes and stops beside log H.
import { formatDuration } from "#shared/format/duration.ts";
import { placeOnAxis } from "#shared/format/plot-geometry.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { roundSeconds } from "#shared/format/time-axis.ts";
import type { Curve, ExposureAdvice } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { px, svgPlot, type SvgPlot, type SvgSize } from "#src/web/parts/svg-plot.ts";
import { curvePlot } from "./curve-plot.ts";
import { stripFrame, type StripCutout } from "./strip-cutout.ts";

interface Tick {
  readonly at: number;
  readonly label: string;
}

interface Span {
  readonly top: number;
  readonly bottom: number;
}

/** A step of the strip, cut out of the picture, below its dot. */
interface StripCell {
  readonly index: number;
  readonly x: number;
  readonly width: number;
  readonly middle: number;
  /** What is shown of the turned picture, in its pixels. */
  readonly viewBox: string;
  readonly isFlagged: boolean;
  readonly isNumbered: boolean;
}

interface CurveDrawing extends SvgPlot {
  readonly name: "wide" | "narrow";
  readonly cells: readonly StripCell[];
  readonly bandTop: number;
  readonly bandHeight: number;
  /** Where "time in clear light" stands, and under what the stops are told. */
  readonly timeTitleY: number;
  readonly stopsBelow: number;
  /** Stretches of the answer's range and of its line: through curve and strip, past the numbers between them. */
  readonly bandSpans: readonly Span[];
  readonly lineSpans: readonly Span[];
  readonly minutes: readonly Tick[];
  readonly stops: readonly Tick[];
  /** Where the advised time lies, and its range; null where there is none. */
  readonly answer: {
    readonly x: number;
    readonly left: number;
    readonly right: number;
    readonly label: string;
    /** The time is longer than the axis says by what the film holds back. */
    readonly isThroughFilm: boolean;
    readonly anchor: "start" | "end";
    readonly labelX: number;
  } | null;
}

export interface CurveFigure {
  readonly title: string;
  readonly summary: string;
  /** The same curve for a closer look. */
  readonly plot: PlotSpec;
  readonly drawings: readonly CurveDrawing[];
}

const bandHeight = 44;
/** Beside a curve as wide as the desk's, the strip lies below it; on a phone it comes first, right under the time. */
const sizes: readonly (SvgSize & { readonly name: CurveDrawing["name"] })[] = [
  { name: "wide", width: 820, height: 504, margin: { left: 58, right: 16, top: 72, bottom: 132 } },
  { name: "narrow", width: 360, height: 430, margin: { left: 44, right: 10, top: 136, bottom: 62 } },
];
/** Of the line of the answer over the frame, and of the words that name the axis of minutes [units of the drawing]. */
const lineOver = 22;
const timeTitleOver = 57;

/** Half of a letter's width, and what must stay free beside the line of the answer [units of the drawing]. */
const halfLetter = 4;
const lineRoom = 4;
/** Width of a letter of a marked point's name [units of the drawing]. */
const nameLetter = 8;
/** Numbers under the steps need this much room [units of the drawing]. */
const numberRoom = 15;

/** @returns null when the curve has no samples to draw */
export function curveFigure(
  curve: Curve | null,
  exposure: ExposureAdvice,
  reading: Reading,
  strip: StripCutout | null,
): CurveFigure | null {
  if (curve === null || curve.samples.length === 0) return null;
  const plot = { ...curvePlot(curve), lines: answerLines(exposure) };
  const { title, summary } = plot;
  return { title, summary, plot, drawings: sizes.map((size) => drawingOf(size, { curve, exposure, reading, strip })) };
}

interface Told {
  readonly curve: Curve;
  readonly exposure: ExposureAdvice;
  readonly reading: Reading;
  readonly strip: StripCutout | null;
}

function drawingOf(size: (typeof sizes)[number], { curve, exposure, reading, strip }: Told): CurveDrawing {
  const isNarrow = size.name === "narrow";
  const whole = curvePlot(curve);
  const logHs = [...curve.steps, ...curve.samples].map(({ logH }) => logH);
  const spec = {
    ...whole,
    x: plotAxis(isNarrow ? "log H" : whole.x.label, logHs, { count: isNarrow ? 4 : 7 }),
  };
  const geometry = svgPlot(spec, size);
  const { frame } = geometry;
  const place = placeOnAxis(spec.x, frame.left, frame.right);
  const toX = (logH: number): number => px(place(logH));
  const answer = answerPlace(exposure, toX, frame.right);
  return {
    ...geometry,
    name: size.name,
    cells: strip === null ? [] : cellsOf(curve, reading, toX),
    ...bandOf(frame, isNarrow),
    xTicks: clearOf(answer?.x, geometry.xTicks),
    series: geometry.series.map((series) =>
      series.kind === "marks"
        ? { ...series, points: series.points.map((mark) => besideLine(answer?.x, mark)) }
        : series,
    ),
    minutes: clearOf(answer?.x, minuteTicks(spec.x.min, spec.x.max, toX, isNarrow ? 62 : 52)),
    stops: stopTicks(answerLogH(exposure), spec.x.min, spec.x.max, toX, isNarrow),
    answer,
  };
}

/** Where the strip lies, and what runs through it. */
function bandOf(
  { top, bottom }: Span,
  isFirst: boolean,
): Pick<CurveDrawing, "bandTop" | "bandHeight" | "timeTitleY" | "stopsBelow" | "bandSpans" | "lineSpans"> {
  const bandTop = isFirst ? 4 : bottom + 26;
  const band = { top: bandTop, bottom: bandTop + bandHeight };
  return {
    bandTop,
    bandHeight,
    timeTitleY: top - timeTitleOver,
    stopsBelow: isFirst ? bottom : band.bottom,
    bandSpans: isFirst ? [band, { top, bottom }] : [{ top, bottom: band.bottom }],
    lineSpans: isFirst ? [band, { top: top - lineOver, bottom }] : [{ top: top - lineOver, bottom: band.bottom }],
  };
}

function answerLines(exposure: ExposureAdvice): NonNullable<PlotSpec["lines"]> {
  const x = answerLogH(exposure);
  if (x === null || exposure.seconds === null) return [];
  return [{ x, label: `${formatDuration(exposure.seconds)}${exposure.filmDensity > 0 ? " through the film" : ""}` }];
}

/** log H of the advised time in clear light: what the film holds back is taken off. */
function answerLogH({ seconds, filmDensity }: ExposureAdvice): number | null {
  return seconds === null ? null : Math.log10(seconds) - filmDensity;
}

function answerPlace(exposure: ExposureAdvice, toX: (logH: number) => number, right: number): CurveDrawing["answer"] {
  const { seconds, lowerSeconds, upperSeconds, filmDensity } = exposure;
  const logH = answerLogH(exposure);
  if (seconds === null || logH === null) return null;
  const place = (time: number | null): number => (time === null ? toX(logH) : toX(Math.log10(time) - filmDensity));
  const x = toX(logH);
  const isLeft = x > right - 170;
  return {
    x,
    left: place(lowerSeconds),
    right: place(upperSeconds),
    label: formatDuration(seconds),
    isThroughFilm: filmDensity > 0,
    anchor: isLeft ? "end" : "start",
    labelX: isLeft ? x - 6 : x + 6,
  };
}

function minuteTicks(min: number, max: number, toX: (logH: number) => number, room: number): Tick[] {
  const ticks: Tick[] = [];
  for (const seconds of roundSeconds) {
    const logH = Math.log10(seconds);
    if (logH < min || logH > max) continue;
    const at = toX(logH);
    if (at - (ticks.at(-1)?.at ?? -Infinity) >= room) ticks.push({ at, label: formatDuration(seconds) });
  }
  return ticks;
}

/** Ticks whose words the line of the answer would cross stay without words: the answer says the time there. */
function clearOf(line: number | undefined, ticks: readonly Tick[]): Tick[] {
  const isCrossed = ({ at, label }: Tick): boolean =>
    line !== undefined && Math.abs(at - line) < halfLetter * label.length + lineRoom;
  return ticks.map((tick) => (isCrossed(tick) ? { ...tick, label: "" } : tick));
}

/** The name of a marked point ends at the point, or before the line of the answer where that would cross it. */
function besideLine<Mark extends { readonly x: number; readonly label: string }>(
  line: number | undefined,
  mark: Mark,
): Mark & { readonly nameX: number } {
  const isCrossed = line !== undefined && line < mark.x + lineRoom && line > mark.x - nameLetter * mark.label.length;
  return { ...mark, nameX: isCrossed ? px(line - lineRoom) : mark.x };
}

/** Whole stops counted from the answer. */
function stopTicks(
  zero: number | null,
  min: number,
  max: number,
  toX: (logH: number) => number,
  isNarrow: boolean,
): Tick[] {
  if (zero === null) return [];
  const step = isNarrow ? 2 : 1;
  const ticks: Tick[] = [];
  for (let stop = -20; stop <= 20; stop += step) {
    const logH = zero + stop / stopsFromLogH(1);
    if (logH < min || logH > max) continue;
    ticks.push({ at: toX(logH), label: stopWord(stop) });
  }
  return ticks;
}

function stopWord(stop: number): string {
  if (stop === 0) return "0";
  return stop > 0 ? `+${stop}` : `\u2212${-stop}`;
}

/** Each step below its dot, as wide as the way to its neighbours. */
function cellsOf(curve: Curve, reading: Reading, toX: (logH: number) => number): StripCell[] {
  const boxes = stripFrame(reading)?.boxes ?? [];
  const rising = [...curve.steps].sort((a, b) => a.logH - b.logH).map((step) => ({ ...step, x: toX(step.logH) }));
  const gaps = rising.slice(1).map(({ x }, index) => x - (rising[index]?.x ?? x));
  const widest = Math.max(...gaps, 1);
  return rising.flatMap(({ index, x }, place) => {
    const box = boxes[index - 1];
    if (box === undefined) return [];
    const [before, after] = [gaps[place - 1] ?? widest, gaps[place] ?? widest];
    const width = Math.max(1, Math.min(before, after, widest));
    return [
      {
        index,
        x: x - width / 2,
        width,
        middle: x,
        viewBox: box,
        isFlagged: (reading.steps[index - 1]?.flags.length ?? 0) > 0,
        isNumbered: index === 1 || index % Math.max(1, Math.ceil(numberRoom / width)) === 0,
      },
    ];
  });
}
