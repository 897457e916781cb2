// A smooth curve that never falls, through uncertain points. Penalised B-splines: many small cubic pieces, a price on
// bending, and a very high price on every coefficient that is below the one before it.
import { choleskyFactor, choleskySolve, forwardSubstitute } from "#shared/statistics/cholesky.ts";

/** Cubic pieces over the whole range; each is about 6 grey levels wide over 0-255. */
const pieces = 42;
const degree = 3;
/** Price of a falling coefficient, in units of the largest diagonal term of the data. */
const fallingPrice = 1e6;
/** Prices on bending that are tried, as powers of ten relative to the data. */
const bendingExponents = Array.from({ length: 37 }, (_, index) => -7 + index * 0.25);
/**
 * Each degree of freedom counts this much in the choice of smoothness: guards against following noise (Kim and Gu 2004,
 * Wood 2006: 1.4).
 */
const freedomPrice = 1.4;

export interface UncertainPoint {
  readonly x: number;
  readonly y: number;
  /** Standard uncertainty of y, above 0. */
  readonly sigma: number;
}

/**
 * Smooth rising curve through uncertain points; how much it may bend is chosen by Mallows' criterion (residuals in
 * units of their uncertainty plus twice the degrees of freedom).
 * @param points at least 3, at different x, rising x
 * @returns a function of x over the range of the points, constant beyond it
 * Source: eilers-marx-1996 (penalised B-splines), bollaerts-2006 (rising by asymmetric penalty), mallows-1973,
 *   wood-2006.
 */
export function risingSpline(points: readonly UncertainPoint[]): (x: number) => number {
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined || points.length < 3)
    throw new RangeError("A rising spline needs at least 3 points.");
  const start = first.x;
  const width = (last.x - start) / pieces;
  const count = pieces + degree;
  const rows = points.map((point) => basisAt((point.x - start) / width));
  const { data, right } = weightedEquations(points, rows, count);
  const scale = largestDiagonal(data, count);
  const bending = bendingPenalty(count);
  const smoothedAt = (price: number) => data.map((value, index) => value + price * bending[index]!);
  const chiSquared = (coefficients: Float64Array) =>
    rows.reduce(
      (sum, row, index) => sum + ((valueOf(row, coefficients) - points[index]!.y) / points[index]!.sigma) ** 2,
      0,
    );

  let best: { score: number; price: number } | undefined;
  for (const exponent of bendingExponents) {
    const price = scale * 10 ** exponent;
    const factor = factorOf(smoothedAt(price), count);
    const score =
      chiSquared(choleskySolve(factor, right, degree)) +
      2 * freedomPrice * traceOfSmoother(factor, rows, points, count);
    if (best === undefined || score < best.score) best = { score, price };
  }
  const smooth = smoothedAt(best!.price);
  let coefficients = choleskySolve(factorOf(smooth, count), right, degree);
  let falling = "";
  for (let round = 0; round < 60; round++) {
    const fallsAt = Array.from(
      { length: count - 1 },
      (_, index) => coefficients[index + 1]! < coefficients[index]! - 1e-12,
    );
    const now = fallsAt.map(Number).join("");
    if (now === falling || !fallsAt.includes(true)) break;
    falling = now;
    const priced = smooth.slice();
    for (const [index, falls] of fallsAt.entries()) {
      if (!falls) continue;
      const at = index * count + index;
      priced[at]! += fallingPrice * scale;
      priced[at + count + 1]! += fallingPrice * scale;
      priced[at + 1]! -= fallingPrice * scale;
      priced[at + count]! -= fallingPrice * scale;
    }
    coefficients = choleskySolve(factorOf(priced, count), right, degree);
  }
  for (let index = 1; index < count; index++)
    coefficients[index] = Math.max(coefficients[index]!, coefficients[index - 1]!);
  return (x) => valueOf(basisAt((Math.min(last.x, Math.max(start, x)) - start) / width), coefficients);
}

/** Normal equations of the weighted points, before any price on bending. */
function weightedEquations(points: readonly UncertainPoint[], rows: readonly BasisRow[], count: number) {
  const data = new Float64Array(count * count);
  const right = new Float64Array(count);
  for (const [index, row] of rows.entries()) {
    const point = points[index]!;
    const weight = 1 / point.sigma ** 2;
    for (let a = 0; a <= degree; a++) {
      right[row.first + a]! += weight * row.values[a]! * point.y;
      for (let b = 0; b <= degree; b++)
        data[(row.first + a) * count + row.first + b]! += weight * row.values[a]! * row.values[b]!;
    }
  }
  return { data, right };
}

interface BasisRow {
  readonly first: number;
  readonly values: readonly [number, number, number, number];
}

/** The four uniform cubic B-splines that are not 0 at `position`, counted in pieces. */
function basisAt(position: number): BasisRow {
  const first = Math.min(pieces - 1, Math.max(0, Math.floor(position)));
  const t = position - first;
  return {
    first,
    values: [
      (1 - t) ** 3 / 6,
      (3 * t ** 3 - 6 * t ** 2 + 4) / 6,
      (-3 * t ** 3 + 3 * t ** 2 + 3 * t + 1) / 6,
      t ** 3 / 6,
    ],
  };
}

function valueOf(row: BasisRow, coefficients: Float64Array): number {
  return row.values.reduce((value, weight, index) => value + weight * coefficients[row.first + index]!, 0);
}

/**
 * Third differences of the coefficients, squared: an even bend costs nothing. With second differences the bend at the
 * dark end of a film denser than its coating needs, where all tones lie within few levels, was pulled straight.
 */
function bendingPenalty(count: number): Float64Array {
  const penalty = new Float64Array(count * count);
  const difference = [1, -3, 3, -1];
  for (let at = 0; at + degree < count; at++) {
    for (let a = 0; a <= degree; a++)
      for (let b = 0; b <= degree; b++) penalty[(at + a) * count + at + b]! += difference[a]! * difference[b]!;
  }
  return penalty;
}

/**
 * Factor of a system whose entries reach `degree` places off the diagonal, with a touch on the diagonal against
 * rounding.
 */
function factorOf(matrix: Float64Array, count: number): Float64Array {
  const leastPivot = 1e-13 * largestDiagonal(matrix, count);
  const lifted = Float64Array.from(matrix);
  for (let i = 0; i < count; i++) lifted[i * count + i]! += leastPivot;
  return choleskyFactor(lifted, count, { leastPivot, band: degree });
}

function largestDiagonal(matrix: Float64Array, count: number): number {
  let largest = 0;
  for (let i = 0; i < count; i++) largest = Math.max(largest, matrix[i * count + i]!);
  return largest;
}

/** Degrees of freedom that the smoother spends: trace of the matrix from measured to smoothed values. */
function traceOfSmoother(
  factor: Float64Array,
  rows: readonly BasisRow[],
  points: readonly UncertainPoint[],
  count: number,
): number {
  let trace = 0;
  for (const [index, row] of rows.entries()) {
    const column = new Float64Array(count);
    for (let a = 0; a <= degree; a++) column[row.first + a] = row.values[a]!;
    const solved = forwardSubstitute(factor, column, degree);
    for (let i = row.first; i < count; i++) trace += solved[i]! ** 2 / points[index]!.sigma ** 2;
  }
  return trace;
}
