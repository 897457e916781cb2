// The field along a strip's frame: its middle, row by row, and what lies beside it.
// Numbers: common practice, no source (tuned on rendered scenes).
import { valueAt, type Field } from "./smoothed-field.ts";
import type { StripFrame } from "./strip-frame.ts";

export interface StripBand {
  /** Place along the strip of the first column [small px]. */
  readonly from: number;
  readonly count: number;
  /** Field along the strip, one row for each place across it, without the edges. */
  readonly rows: readonly Float32Array[];
  /** Sums of the rows from the first column on, one longer than the rows. */
  readonly rowSums: readonly Float64Array[];
  /** ... with thin lines between steps taken out of every row. */
  readonly plainRowSums: readonly Float64Array[];
  /** Sums of the middle value across the strip, thin lines between steps taken out. */
  readonly sums: Float64Array;
  /** Sums of how far the middle value stands out as a thin line, bright or dark. */
  readonly lineSums: Float64Array;
  /** Sums of the field beside the strip, above and below. */
  readonly beside: readonly [Float64Array, Float64Array];
}

/** Places across the strip (0 top, 1 bottom); its edges are left out. */
export const rowCount = 13;
export const rowShare = (row: number): number => 0.14 + (0.72 * row) / (rowCount - 1);
/** Rows about the middle one that are averaged: things that cover a third of the height drop out. */
const middleRows = 5;
/** How far beside the strip it is looked, in its heights, and at least [small px]. */
const besideShares = [0.12, 0.19, 0.26];
const leastBesidePx = 2.5;

/** A line is looked for this close to a boundary, share of the pitch; what it shows counts so much beside a fall. */
const lineNear = 0.09;
const lineWeight = 1;
/**
 * Lines between steps are thinner than this share of the pitch, and softness widens them by so much [small px], but
 * never beyond so great a share of it.
 */
const lineShare = 0.2;
const lineBlurPx = 3;
const mostLineShare = 0.5;

/**
 * Samples the field along the frame, as far as it lies in the picture.
 * @param pitchPx spacing of the boundaries, roughly [small px]
 */
export function stripBand(field: Field, frame: StripFrame, pitchPx: number): StripBand {
  const from = Math.ceil(frame.sFrom);
  const count = Math.max(0, Math.floor(frame.sTo) - from);
  const height = frame.bottom[0] - frame.top[0];
  const rows = Array.from({ length: rowCount }, (_, row) => sampled(field, frame, from, count, rowShare(row)));
  const besideAt = (side: -1 | 1): Float32Array =>
    besideMean(height, (away) => sampled(field, frame, from, count, side < 0 ? -away : 1 + away));
  return bandOfRows(rows, { from, radius: lineRadius(pitchPx), beside: [besideAt(-1), besideAt(1)] });
}

/** Mean of what lies at a few distances beside a strip. @param sample by distance from its long edge, in its heights */
export function besideMean(heightPx: number, sample: (away: number) => Float32Array): Float32Array {
  const lines = besideShares.map((share) =>
    sample(Math.max(share, (share / besideShares[0]!) * (leastBesidePx / heightPx))),
  );
  const mean = new Float32Array(lines[0]!.length);
  for (let i = 0; i < mean.length; i++) {
    let sum = 0;
    for (let k = 0; k < lines.length; k++) sum += lines[k]![i]! / lines.length;
    mean[i] = sum;
  }
  return mean;
}

/**
 * The band of rows that were sampled along a strip.
 * @param radius half the width of what counts as a thin line, in samples
 * @param beside what lies beside the strip, above and below
 */
export function bandOfRows(
  rows: readonly Float32Array[],
  {
    from,
    radius,
    beside,
  }: {
    readonly from: number;
    readonly radius: number;
    readonly beside: readonly [Float32Array, Float32Array];
  },
): StripBand {
  const count = rows[0]!.length;
  const middle = new Float32Array(count);
  const across = new Float32Array(rows.length);
  const firstKept = (rows.length - middleRows) >> 1;
  for (let i = 0; i < count; i++) {
    sortColumn(across, rows, i);
    let sum = 0;
    for (let j = 0; j < middleRows; j++) sum += across[firstKept + j]!;
    middle[i] = sum / middleRows;
  }
  const plain = withoutLines(middle, radius);
  const lines = new Float32Array(count);
  for (let i = 0; i < count; i++) lines[i] = Math.abs(middle[i]! - plain[i]!);
  let plainRowSums: readonly Float64Array[] | null = null;
  return {
    from,
    count,
    rows,
    rowSums: rows.map(runningSums),
    // Half of a band's work, and most bands are refused before anybody asks.
    get plainRowSums() {
      plainRowSums ??= rows.map((row) => runningSums(withoutLines(row, radius)));
      return plainRowSums;
    },
    sums: runningSums(plain),
    lineSums: runningSums(lines),
    beside: [runningSums(beside[0]), runningSums(beside[1])],
  };
}

/** The values of all rows at one place along them, in order. */
function sortColumn(across: Float32Array, rows: readonly Float32Array[], i: number): void {
  for (let j = 0; j < rows.length; j++) {
    const value = rows[j]![i]!;
    let at = j;
    for (; at > 0 && across[at - 1]! > value; at--) across[at] = across[at - 1]!;
    across[at] = value;
  }
}

/**
 * Half the width of what counts as a thin line, in samples of so many small pixels. The whole window is never wider
 * than the most that a line takes of a step: else narrow steps between lines would count as the lines.
 */
export function lineRadius(pitchPx: number, samplePx = 1): number {
  const usual = Math.round((lineShare * pitchPx + lineBlurPx) / 2 / samplePx);
  const most = Math.floor(((mostLineShare * pitchPx) / samplePx - 1) / 2);
  return Math.max(1, Math.min(usual, most));
}

/** A profile without peaks and troughs up to twice a radius wide (opening and closing by a flat window). */
function withoutLines(values: Float32Array, radius: number): Float32Array {
  const opened = values.slice();
  slideWindow(opened, radius, leastOfTwo, Infinity);
  slideWindow(opened, radius, greatestOfTwo, -Infinity);
  const closed = values.slice();
  slideWindow(closed, radius, greatestOfTwo, -Infinity);
  slideWindow(closed, radius, leastOfTwo, Infinity);
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value - opened[i]! <= closed[i]! - value) opened[i] = closed[i]!;
  }
  return opened;
}

/** Bands are smoothed by hundreds, one after the other, in the same room. */
let keptRoom = new Float32Array(2048);

/**
 * Each value gives way to the least, or the greatest, within a radius of it; twice as wide a window from two of the one
 * before.
 * @param beyond stands outside the values
 */
function slideWindow(values: Float32Array, radius: number, ofTwo: typeof leastOfTwo, beyond: number): void {
  const size = values.length + 2 * radius;
  if (keptRoom.length < size) keptRoom = new Float32Array(size);
  const room = keptRoom.subarray(0, size);
  room.fill(beyond, 0, radius);
  room.fill(beyond, radius + values.length);
  room.set(values, radius);
  let wide = 1;
  for (; 2 * wide <= 2 * radius + 1; wide *= 2) ofTwo(room, room, wide);
  ofTwo(values, room, 2 * radius + 1 - wide);
}

function leastOfTwo(out: Float32Array, values: Float32Array, apart: number): void {
  const to = Math.min(out.length, values.length - apart);
  for (let i = 0; i < to; i++) {
    const one = values[i]!;
    const other = values[i + apart]!;
    out[i] = other < one ? other : one;
  }
}

function greatestOfTwo(out: Float32Array, values: Float32Array, apart: number): void {
  const to = Math.min(out.length, values.length - apart);
  for (let i = 0; i < to; i++) {
    const one = values[i]!;
    const other = values[i + apart]!;
    out[i] = other > one ? other : one;
  }
}

/** Values along the frame, one to a small pixel, at a share across it (0 top, 1 bottom), leaning as boundaries do. */
function sampled(field: Field, frame: StripFrame, from: number, count: number, share: number): Float32Array {
  const line = new Float32Array(count);
  const { originX, originY, alongX, alongY } = frame;
  const [lean, leanBy] = frame.lean;
  const across = frame.top[0] * (1 - share) + frame.bottom[0] * share;
  const acrossBy = frame.top[1] * (1 - share) + frame.bottom[1] * share;
  for (let i = 0; i < count; i++) {
    const s = from + i + 0.5;
    const t = across + acrossBy * s;
    const along = s + (lean + leanBy * s) * t;
    line[i] = valueAt(field, originX + alongX * along - alongY * t, originY + alongY * along + alongX * t);
  }
  return line;
}

function runningSums(values: Float32Array): Float64Array {
  const sums = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!;
  return sums;
}

/** Mean of what was summed between two places along the strip; NaN when they lie outside the picture. */
export function meanAlong(band: StripBand, sums: Float64Array, s0: number, s1: number): number {
  const a = s0 - band.from;
  const b = s1 - band.from;
  if (a < 0 || b > band.count || b - a < 1e-6) return Number.NaN;
  return (sumTo(sums, b) - sumTo(sums, a)) / (b - a);
}

function sumTo(sums: Float64Array, at: number): number {
  const i = Math.min(at | 0, sums.length - 2);
  return sums[i]! + (sums[i + 1]! - sums[i]!) * (at - i);
}

/**
 * How much the field falls at a place along the strip: mean over a stretch before it less the mean after it; 0 outside
 * the picture.
 */
export function fallAt(
  band: Pick<StripBand, "from" | "count" | "sums">,
  s: number,
  half: number,
  sums: Float64Array = band.sums,
): number {
  const at = s - band.from;
  const a = at - half;
  const b = at + half;
  if (!(a >= 0) || !(b <= band.count)) return 0;
  return (2 * sumTo(sums, at) - sumTo(sums, a) - sumTo(sums, b)) / half;
}

/** What rises at a straight end rises in so great a share of the rows; torn coating leaves the others out. */
const rowsOfRise = 0.4;

/** How much the field rises at a place along the strip where lines are left in, in enough of its rows. */
export function riseInRows(band: StripBand, s: number, half: number): number {
  const rises = Float64Array.from(band.rowSums, (sums) => -fallAt(band, s, half, sums)).sort();
  return rises[Math.floor((1 - rowsOfRise) * rises.length)]!;
}

/** How much a thin line stands out at a place, above what grain shows round it. */
export function lineAt(band: StripBand, s: number, pitchPx: number): number {
  const near = meanAlong(band, band.lineSums, s - lineNear * pitchPx, s + lineNear * pitchPx);
  const wide = meanAlong(band, band.lineSums, s - 0.5 * pitchPx, s + 0.5 * pitchPx);
  return near > wide ? (near - wide) / (1 - 2 * lineNear) : 0;
}

/** What marks a boundary of steps at a place: the fall of the strip, or a thin line. */
export function boundaryAt(band: StripBand, s: number, half: number, pitchPx: number): number {
  return stripFallAt(band, s, half) + lineWeight * lineAt(band, s, pitchPx);
}

/** ... of the strip alone: what falls beside it as well, on both sides, is an edge of the sheet or a shadow. */
function stripFallAt(band: StripBand, s: number, half: number): number {
  const fall = fallAt(band, s, half);
  if (fall <= 0) return fall;
  const beside = Math.min(fallAt(band, s, half, band.beside[0]), fallAt(band, s, half, band.beside[1]));
  return beside > 0 ? Math.max(0, fall - beside) : fall;
}
