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
  const columns = design[0]?.length ?? 0;
  if (rows < columns || columns === 0)
    throw new RangeError(`linear least squares needs at least ${columns} rows, got ${rows}`);
  const a = design.map((row, i) => Float64Array.from(row, (value) => value / (sigma?.[i] ?? 1)));
  const b = Float64Array.from(response, (value, i) => value / (sigma?.[i] ?? 1));
  const scale = equaliseColumns(a);
  if (scale.some((value) => !(value > 0))) throw new RangeError("a column of the design is zero or not a number");
  const diagonal = triangularise(a, b);
  if (diagonal.some((value) => !(Math.abs(value) > dependentShare)))
    throw new RangeError("the columns of the design are linearly dependent");
  const scaled = backSubstitute(a, diagonal, b);
  const inverse = inverseOfTriangle(a, diagonal);
  let residualSumSquares = 0;
  for (let i = columns; i < rows; i++) residualSumSquares += b[i]! ** 2;
  return {
    coefficients: Array.from(scaled, (value, j) => value / scale[j]!),
    unscaledCovariance: gram(inverse).map((row, i) => row.map((value, j) => value / (scale[i]! * scale[j]!))),
    residualSumSquares,
    degreesOfFreedom: rows - columns,
  };
}

/**
 * The coefficients alone, for solvers that ask often. Overwrites both arguments.
 * @returns null when the columns are linearly dependent to working precision
 * Source: Golub1965.
 */
export function leastSquaresSolution(design: readonly Float64Array[], response: Float64Array): Float64Array | null {
  const scale = equaliseColumns(design);
  if (scale.some((value) => !(value > 0))) return null;
  const diagonal = triangularise(design, response);
  if (diagonal.some((value) => !(Math.abs(value) > dependentShare))) return null;
  const solution = backSubstitute(design, diagonal, response);
  for (let j = 0; j < solution.length; j++) solution[j]! /= scale[j]!;
  return solution;
}

/**
 * Scales the columns to length 1, so that coefficients of very different size lose no digits to one another; returns
 * the lengths.
 */
function equaliseColumns(a: readonly Float64Array[]): Float64Array {
  const scale = new Float64Array(a[0]!.length);
  for (let j = 0; j < scale.length; j++) {
    let sum = 0;
    for (const row of a) sum += row[j]! * row[j]!;
    scale[j] = Math.sqrt(sum);
    for (const row of a) row[j]! /= scale[j]!;
  }
  return scale;
}

/** Overwrites `a` by R above the diagonal and `b` by Q'b; returns the diagonal of R. */
function triangularise(a: readonly Float64Array[], b: Float64Array): Float64Array {
  const rows = a.length;
  const columns = a[0]!.length;
  const diagonal = new Float64Array(columns);
  for (let k = 0; k < columns; k++) {
    let norm = 0;
    for (let i = k; i < rows; i++) norm += a[i]![k]! * a[i]![k]!;
    norm = Math.sqrt(norm);
    if (norm === 0) continue;
    if (a[k]![k]! < 0) norm = -norm;
    for (let i = k; i < rows; i++) a[i]![k]! /= norm;
    a[k]![k]! += 1;
    for (let j = k + 1; j <= columns; j++) {
      let dot = 0;
      for (let i = k; i < rows; i++) dot += a[i]![k]! * (j === columns ? b[i]! : a[i]![j]!);
      const factor = -dot / a[k]![k]!;
      for (let i = k; i < rows; i++) {
        if (j === columns) b[i]! += factor * a[i]![k]!;
        else a[i]![j]! += factor * a[i]![k]!;
      }
    }
    diagonal[k] = -norm;
  }
  return diagonal;
}

function backSubstitute(r: readonly Float64Array[], diagonal: Float64Array, b: Float64Array): Float64Array {
  const x = new Float64Array(diagonal.length);
  for (let k = diagonal.length - 1; k >= 0; k--) {
    let value = b[k]!;
    for (let j = k + 1; j < diagonal.length; j++) value -= r[k]![j]! * x[j]!;
    x[k] = value / diagonal[k]!;
  }
  return x;
}

function inverseOfTriangle(r: readonly Float64Array[], diagonal: Float64Array): Float64Array[] {
  const n = diagonal.length;
  const columnsOfInverse: Float64Array[] = [];
  for (let k = 0; k < n; k++) {
    const unit = new Float64Array(n);
    unit[k] = 1;
    columnsOfInverse.push(backSubstitute(r, diagonal, unit));
  }
  return columnsOfInverse;
}

/** R^-1 R^-T from the columns of R^-1. */
function gram(inverseColumns: readonly Float64Array[]): number[][] {
  const n = inverseColumns.length;
  return Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_, j) => inverseColumns.reduce((sum, column) => sum + column[i]! * column[j]!, 0)),
  );
}
