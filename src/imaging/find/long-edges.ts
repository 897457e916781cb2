// Where the long edges of a strip lie: the straight lines along which the field changes most across it.
// Numbers: common practice, no source (tuned on rendered scenes).
import type { Field } from "./smoothed-field.ts";
import { heldLine, valueInFrame, type StripFrame } from "./strip-frame.ts";

/** A long edge: its line, how strongly the field changes across it, and how sure its slope is. */
export interface LongEdge {
  readonly line: readonly [number, number];
  readonly strength: number;
  readonly slopeSigma: number;
  /** Share of the places along it where the field changes on the line, and not beside it. */
  readonly support: number;
}

/**
 * An edge is looked for within this share of the height, and so far beyond the sure boundaries, share of their range.
 */
const reachShare = 0.12;
const beyondShare = 0.35;
const mostColumns = 120;
/** One column says at most so much (log10), so that no strong one decides. */
const mostChange = 0.4;
/** Slopes tried: an edge out of the frame's direction by so much. */
const mostSlope = 0.15;
const slopeStep = 0.01;
/** The place that the boundaries' ends suggest is preferred by this share. */
const preference = 0.35;
/** Slopes are never surer than this. */
const leastSlopeSigma = 0.0005;
const unknownSlopeSigma = 0.02;
const refinements = 3;
const fewestPoints = 6;

/** Changes across an edge, column by column, at offsets from -half to half of where it is supposed. */
interface EdgeChanges {
  readonly values: Float32Array;
  /** Place of each column along the strip, from the middle of them [small px]. */
  readonly places: Float64Array;
  readonly half: number;
}

/**
 * Moves the long edges to where the field changes across the strip, as straight lines. @param range s of the boundaries
 * that are sure
 */
export function settleLongEdges(
  field: Field,
  frame: StripFrame,
  range: readonly [number, number],
): { frame: StripFrame; edges: readonly [LongEdge, LongEdge] } {
  const height = frame.bottom[0] - frame.top[0];
  const half = Math.ceil(Math.max(3, reachShare * height));
  const extra = beyondShare * (range[1] - range[0]);
  const s0 = Math.max(frame.sFrom, range[0] - extra);
  const s1 = Math.min(frame.sTo, range[1] + extra);
  const middle = (s0 + s1) / 2;
  const columns = Math.max(8, Math.min(mostColumns, Math.round(s1 - s0)));
  const places = Float64Array.from({ length: columns }, (_, i) => s0 + ((s1 - s0) * (i + 0.5)) / columns - middle);
  const settle = (edge: readonly [number, number]): LongEdge => {
    const changes: EdgeChanges = { values: new Float32Array(columns * (2 * half + 1)), places, half };
    for (let i = 0; i < columns; i++) changesOfColumn(changes, field, frame, { i, s: places[i]! + middle, edge });
    const best = strongestLine(changes);
    const { line, slopeSigma } = refined(changes, [best.offset, best.slope]);
    return {
      line: [edge[0] + line[0] - line[1] * middle, edge[1] + line[1]],
      strength: best.score / columns,
      slopeSigma,
      support: supportOf(changes, line),
    };
  };
  const edges = [settle(frame.top), settle(frame.bottom)] as const;
  return { frame: { ...frame, top: edges[0].line, bottom: edges[1].line }, edges };
}

/** A change lies on the line within this many small pixels. */
const onLinePx = 1.5;

/** Share of the columns that change at all whose strongest change lies on the line. */
function supportOf({ values, places, half }: EdgeChanges, line: readonly [number, number]): number {
  let [on, all] = [0, 0];
  for (let i = 0; i < places.length; i++) {
    const from = i * (2 * half + 1);
    let peak = 0;
    for (let k = 1; k < 2 * half + 1; k++) if (values[from + k]! > values[from + peak]!) peak = k;
    all += values[from + peak]!;
    if (Math.abs(peak - half - line[0] - line[1] * places[i]!) <= onLinePx) on += values[from + peak]!;
  }
  return all > 0 ? on / all : 0;
}

/** Change of the field across the edge, at every offset of one column. */
function changesOfColumn(
  { values, half }: EdgeChanges,
  field: Field,
  frame: StripFrame,
  { i, s, edge }: { readonly i: number; readonly s: number; readonly edge: readonly [number, number] },
): void {
  const from = i * (2 * half + 1) + half;
  const lean = frame.lean[0] + frame.lean[1] * s;
  for (let k = -half; k <= half; k++) {
    const t = edge[0] + edge[1] * s + k;
    const leaned = s + lean * t;
    const across = valueInFrame(field, frame, leaned, t + 1) - valueInFrame(field, frame, leaned, t - 1);
    values[from + k] = Math.min(Math.abs(across), mostChange);
  }
}

/** The straight line over which the changes sum to most; near offsets are preferred when little speaks for another. */
function strongestLine({ values, places, half }: EdgeChanges): { score: number; offset: number; slope: number } {
  const wide = 2 * half + 1;
  const sums = new Float64Array(wide);
  let best = { score: -1, offset: 0, slope: 0 };
  for (let slope = -mostSlope; slope <= mostSlope + 1e-4; slope += slopeStep) {
    sums.fill(0);
    for (let i = 0; i < places.length; i++) addShifted(sums, values, i * wide, Math.round(slope * places[i]!));
    for (let offset = -half; offset <= half; offset++) {
      const score = sums[offset + half]! * (1 - preference * (Math.abs(offset) / half) ** 2);
      if (score > best.score) best = { score, offset, slope };
    }
  }
  return best;
}

/** Adds a column of changes, shifted, to the sums; what is shifted out of range is left out. */
function addShifted(sums: Float64Array, change: Float32Array, from: number, shift: number): void {
  const to = Math.min(sums.length, sums.length - shift);
  for (let k = Math.max(0, -shift); k < to; k++) sums[k]! += change[from + k + shift]!;
}

type Point = readonly [place: number, offset: number, weight: number];

/** The line to a fraction of a pixel: the strongest place near it in every column, and a robust line through them. */
function refined(
  changes: EdgeChanges,
  first: readonly [number, number],
): { line: readonly [number, number]; slopeSigma: number } {
  let line = first;
  let slopeSigma = unknownSlopeSigma;
  for (let round = 0; round < refinements; round++) {
    const points: Point[] = [];
    for (let i = 0; i < changes.places.length; i++) {
      const point = peakNear(changes, i, line);
      if (point !== null) points.push(point);
    }
    if (points.length < fewestPoints) break;
    const fitted = heldLine(points, mostSlope, 1);
    slopeSigma = slopeSigmaOf(points, fitted);
    line = fitted;
  }
  return { line, slopeSigma };
}

/** The strongest change of a column within three pixels of a line, weighted by its strength and nearness. */
function peakNear({ values, places, half }: EdgeChanges, i: number, line: readonly [number, number]): Point | null {
  const s = places[i]!;
  const from = i * (2 * half + 1);
  const near = Math.round(line[0] + line[1] * s);
  let peak = -1;
  for (let k = Math.max(-half + 1, near - 3); k <= Math.min(half - 1, near + 3); k++)
    if (peak < 0 || values[from + k + half]! > values[from + peak]!) peak = k + half;
  if (peak < 1) return null;
  const [l, c, r] = [values[from + peak - 1]!, values[from + peak]!, values[from + peak + 1]!];
  const curve = l - 2 * c + r;
  const shift = curve < 0 ? Math.min(Math.max((0.5 * (l - r)) / curve, -0.5), 0.5) : 0;
  const k = peak - half + shift;
  const off = k - line[0] - line[1] * s;
  return [s, k, (c * c) / (1 + off * off)];
}

function slopeSigmaOf(points: readonly Point[], line: readonly [number, number]): number {
  let [total, squares, sum, scatter] = [0, 0, 0, 0];
  for (const [s, k, w] of points) {
    total += w;
    squares += w * w;
    sum += w * s;
    scatter += w * (k - line[0] - line[1] * s) ** 2;
  }
  const centre = sum / total;
  const lever = Math.sqrt(points.reduce((so, [s, , w]) => so + w * (s - centre) ** 2, 0) / total);
  const spread = Math.max(Math.sqrt(scatter / total), 0.25);
  const effective = total ** 2 / squares;
  return Math.max(leastSlopeSigma, (2 * spread) / Math.max(lever, 1) / Math.sqrt(Math.max(1, effective / 4)));
}
