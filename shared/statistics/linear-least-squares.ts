// Linear least squares by Householder QR. Normal equations would square the condition number; QR keeps twice the
// digits.

export interface LinearFit {
  /** One for each column of the design, in its order. */
  readonly coefficients: readonly number[];
  /** Inverse of (A' W A), row-major: the covariance of the coefficients when the sigmas are true. */
  readonly unscaledCovariance: readonly (readonly number[])[];
  /** Sum of squared weighted residuals. */
  readonly residualSumSquares: number;
  /** Observations minus coefficients. */
  readonly degreesOfFreedom: number;
}

/** Columns whose part at right angles to the others is below this share of their length count as dependent. */
const dependentShare = 1e-15;

/**
 * Coefficients that minimise the sum of ((y - A b) / sigma)^2, by Householder QR with scaled columns.
 * @param design rows of observations, one column for each coefficient
 * @param response one value for each row
 * @param sigma standard uncertainty of each response; all 1 when absent
 * @throws RangeError when the columns are linearly dependent to working precision, or there are fewer rows than columns
 * Source: Golub1965 (Householder triangularisation); checked against NistStrd.
 */
export function linearLeastSquares({
  design,
  response,
  sigma,
}: {
  design: readonly ArrayLike<number>[];
  response: ArrayLike<number>;
  sigma?: readonly number[];
}): LinearFit {
  const rows = design.length;
  const count = design[0]?.length ?? 0;
  if (rows < count || count === 0)
    throw new RangeError(`linear least squares needs at least ${count} rows, got ${rows}`);
  const a = columnsOf(design, sigma);
  const b = weighted(response, sigma);
  const scale = equaliseColumns(a);
  if (scale.some((value) => !(value > 0))) throw new RangeError("a column of the design is zero or not a number");
  const diagonal = triangularise(a, b);
  if (diagonal.some((value) => !(Math.abs(value) > dependentShare)))
    throw new RangeError("the columns of the design are linearly dependent");
  const scaled = backSubstitute(a, diagonal, b);
  let residualSumSquares = 0;
  for (let i = count; i < rows; i++) residualSumSquares += b[i]! ** 2;
  return {
    coefficients: Array.from(scaled, (value, j) => value / scale[j]!),
    unscaledCovariance: covarianceOf(inverseOfTriangle(a, diagonal), scale),
    residualSumSquares,
    degreesOfFreedom: rows - count,
  };
}

/**
 * The coefficients alone, for solvers that ask often.
 * @param sigma standard uncertainty of each response; all 1 when absent
 * @returns null when the columns are linearly dependent to working precision
 * Source: Golub1965.
 */
export function leastSquaresSolution(
  design: readonly ArrayLike<number>[],
  response: ArrayLike<number>,
  sigma?: ArrayLike<number>,
): Float64Array | null {
  const a = columnsOf(design, sigma);
  const b = weighted(response, sigma);
  const scale = equaliseColumns(a);
  if (scale.some((value) => !(value > 0))) return null;
  const diagonal = triangularise(a, b);
  if (diagonal.some((value) => !(Math.abs(value) > dependentShare))) return null;
  const solution = backSubstitute(a, diagonal, b);
  for (let j = 0; j < solution.length; j++) solution[j]! /= scale[j]!;
  return solution;
}

/** The columns of a design, each row over its sigma. All the work goes down columns, so each lies in one piece. */
function columnsOf(design: readonly ArrayLike<number>[], sigma: ArrayLike<number> | undefined): Float64Array[] {
  const columns = Array.from({ length: design[0]!.length }, () => new Float64Array(design.length));
  for (let i = 0; i < design.length; i++) {
    const row = design[i]!;
    const over = sigma === undefined ? 1 : sigma[i]!;
    for (let j = 0; j < columns.length; j++) columns[j]![i] = row[j]! / over;
  }
  return columns;
}

function weighted(response: ArrayLike<number>, sigma: ArrayLike<number> | undefined): Float64Array {
  const b = new Float64Array(response.length);
  for (let i = 0; i < b.length; i++) b[i] = response[i]! / (sigma === undefined ? 1 : sigma[i]!);
  return b;
}

/**
 * Scales the columns to length 1, so that coefficients of very different size lose no digits to one another; returns
 * the lengths.
 */
function equaliseColumns(a: readonly Float64Array[]): Float64Array {
  const scale = new Float64Array(a.length);
  for (let j = 0; j < scale.length; j++) {
    const column = a[j]!;
    let sum = 0;
    for (let i = 0; i < column.length; i++) sum += column[i]! * column[i]!;
    const length = Math.sqrt(sum);
    for (let i = 0; i < column.length; i++) column[i]! /= length;
    scale[j] = length;
  }
  return scale;
}

/** Overwrites the columns of `a` by those of R above the diagonal and `b` by Q'b; returns the diagonal of R. */
function triangularise(a: readonly Float64Array[], b: Float64Array): Float64Array {
  const diagonal = new Float64Array(a.length);
  for (let k = 0; k < a.length; k++) {
    const column = a[k]!;
    let norm = 0;
    for (let i = k; i < column.length; i++) norm += column[i]! * column[i]!;
    norm = Math.sqrt(norm);
    if (norm === 0) continue;
    if (column[k]! < 0) norm = -norm;
    for (let i = k; i < column.length; i++) column[i]! /= norm;
    column[k]! += 1;
    for (let j = k + 1; j < a.length; j++) reflect(a[j]!, column, k);
    reflect(b, column, k);
    diagonal[k] = -norm;
  }
  return diagonal;
}

/** Reflects a column in the plane at right angles to another, from row k on. */
function reflect(column: Float64Array, at: Float64Array, k: number): void {
  let dot = 0;
  for (let i = k; i < at.length; i++) dot += at[i]! * column[i]!;
  const factor = -dot / at[k]!;
  for (let i = k; i < at.length; i++) column[i]! += factor * at[i]!;
}

function backSubstitute(r: readonly Float64Array[], diagonal: Float64Array, b: Float64Array): Float64Array {
  const x = new Float64Array(diagonal.length);
  for (let k = diagonal.length - 1; k >= 0; k--) {
    let value = b[k]!;
    for (let j = k + 1; j < diagonal.length; j++) value -= r[j]![k]! * x[j]!;
    x[k] = value / diagonal[k]!;
  }
  return x;
}

/** Columns of R^-1. */
function inverseOfTriangle(r: readonly Float64Array[], diagonal: Float64Array): Float64Array[] {
  return r.map((_, k) => {
    const unit = new Float64Array(diagonal.length);
    unit[k] = 1;
    return backSubstitute(r, diagonal, unit);
  });
}

/** R^-1 R^-T from the columns of R^-1, in the units that the columns of the design had. */
function covarianceOf(inverseColumns: readonly Float64Array[], scale: Float64Array): number[][] {
  const n = inverseColumns.length;
  const covariance = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      // R^-1 is a triangle: columns before the later of both have no part in it.
      for (let k = i; k < n; k++) sum += inverseColumns[k]![i]! * inverseColumns[k]![j]!;
      covariance[i]![j] = sum / (scale[i]! * scale[j]!);
      covariance[j]![i] = covariance[i]![j]!;
    }
  }
  return covariance;
}
