// Symmetric positive systems. Matrices are square, row-major, in one list of n x n numbers.

export interface CholeskyOptions {
  /**
   * Pivots below this, or lost in an overflow, are raised to it; without it, such a matrix is refused. For systems that
   * rounding may leave just short.
   */
  readonly leastPivot?: number;
  /** Places left of the diagonal that can be other than 0; all of them when absent. */
  readonly band?: number;
}

/**
 * Cholesky factor L of a symmetric positive matrix, A = L L'.
 * @param matrix row-major, n x n; only the lower triangle is read
 * @throws RangeError when the matrix is not positive and no least pivot is given
 * Source: from memory (the textbook's outer product form).
 */
export function choleskyFactor(
  matrix: Float64Array,
  n: number,
  { leastPivot = Number.NaN, band = n }: CholeskyOptions = {},
): Float64Array {
  const factor = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = j; i < Math.min(n, j + band + 1); i++) {
      let sum = matrix[i * n + j]!;
      for (let k = Math.max(0, i - band); k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      if (i !== j) factor[i * n + j] = sum / factor[j * n + j]!;
      else if (leastPivot > 0 && !(sum >= leastPivot)) factor[i * n + i] = Math.sqrt(leastPivot);
      else if (sum > 0) factor[i * n + i] = Math.sqrt(sum);
      else throw new RangeError("the matrix is not positive");
    }
  }
  return factor;
}

/**
 * Solves L x = right for x. The length of x is the standard deviation of right' b where A is the inverse covariance of
 * b.
 */
export function forwardSubstitute(factor: Float64Array, right: ArrayLike<number>, band = right.length): Float64Array {
  const n = right.length;
  const x = new Float64Array(right);
  for (let i = 0; i < n; i++) {
    for (let k = Math.max(0, i - band); k < i; k++) x[i]! -= factor[i * n + k]! * x[k]!;
    x[i]! /= factor[i * n + i]!;
  }
  return x;
}

/** Solves L L' x = right for x. */
export function choleskySolve(factor: Float64Array, right: ArrayLike<number>, band = right.length): Float64Array {
  const n = right.length;
  const x = forwardSubstitute(factor, right, band);
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < Math.min(n, i + band + 1); k++) x[i]! -= factor[k * n + i]! * x[k]!;
    x[i]! /= factor[i * n + i]!;
  }
  return x;
}

/** Natural logarithm of the determinant of A = L L'. */
export function logDeterminantOf(factor: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(factor[i * n + i]!);
  return 2 * sum;
}
