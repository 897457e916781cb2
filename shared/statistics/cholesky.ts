/**
 * Cholesky factor L of a symmetric positive matrix, A = L L'.
 * @param matrix row-major, n x n
 * @throws RangeError when the matrix is not positive
 * Source: from memory (the textbook's outer product form).
 */
export function choleskyFactor(matrix: Float64Array, n: number): Float64Array {
  const factor = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = matrix[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      if (i === j) {
        if (!(sum > 0)) throw new RangeError("the matrix is not positive");
        factor[i * n + i] = Math.sqrt(sum);
      } else factor[i * n + j] = sum / factor[j * n + j]!;
    }
  }
  return factor;
}

/** Solves L L' x = right for x. */
export function choleskySolve(factor: Float64Array, right: Float64Array, n: number): Float64Array {
  const x = Float64Array.from(right);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * n + k]! * x[k]!;
    x[i]! /= factor[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= factor[k * n + i]! * x[k]!;
    x[i]! /= factor[i * n + i]!;
  }
  return x;
}
