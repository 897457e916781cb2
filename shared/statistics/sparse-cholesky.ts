// Cholesky factors of large symmetric matrices of which most elements are zero: what many small groups of unknowns that
// share a few common ones give. Only what is not zero is stored and reckoned with.

/** Where a matrix and its factor have elements; made once, used for every set of values. */
export interface SparsePattern {
  readonly size: number;
  /** Upper triangle by columns: rows of column j stand at columnStarts[j] to columnStarts[j + 1], the diagonal last. */
  readonly columnStarts: Int32Array;
  readonly rowOf: Int32Array;
  /** Parent of each unknown in the elimination tree; -1 at a root. */
  readonly parents: Int32Array;
  readonly factorStarts: Int32Array;
}

/** L D L' = A: unit lower triangle by columns, and the diagonal. */
export interface SparseFactor {
  readonly pattern: SparsePattern;
  readonly rows: Int32Array;
  readonly values: Float64Array;
  readonly diagonal: Float64Array;
}

/**
 * The pattern of a matrix that is a sum of small full squares (one for each group of unknowns that meet) and a
 * diagonal.
 * @param groups numbers of the unknowns that meet, each from 0 to size - 1, none twice in a group
 * Source: Davis2005 (elimination tree, counts of the factor's columns).
 */
export function sparsePattern(size: number, groups: Iterable<readonly number[]>): SparsePattern {
  const columns = Array.from({ length: size }, () => new Set<number>());
  for (const group of groups) for (const j of group) for (const i of group) if (i < j) columns[j]!.add(i);
  const columnStarts = new Int32Array(size + 1);
  columns.forEach((column, j) => (columnStarts[j + 1] = columnStarts[j]! + column.size + 1));
  const rowOf = new Int32Array(columnStarts[size]!);
  columns.forEach((column, j) => rowOf.set([...[...column].sort((a, b) => a - b), j], columnStarts[j]!));
  const parents = new Int32Array(size).fill(-1);
  const counts = new Int32Array(size);
  const seen = new Int32Array(size).fill(-1);
  for (let k = 0; k < size; k++) {
    seen[k] = k;
    for (let at = columnStarts[k]!; at < columnStarts[k + 1]!; at++) {
      for (let i = rowOf[at]!; seen[i] !== k; i = parents[i]!) {
        if (parents[i] === -1) parents[i] = k;
        counts[i]!++;
        seen[i] = k;
      }
    }
  }
  const factorStarts = new Int32Array(size + 1);
  for (let k = 0; k < size; k++) factorStarts[k + 1] = factorStarts[k]! + counts[k]!;
  return { size, columnStarts, rowOf, parents, factorStarts };
}

/**
 * Where element (i, j) of the upper triangle stands among the pattern's values.
 * @param i row, at most j
 * @throws RangeError when the pattern has no such element
 */
export function sparsePlace({ columnStarts, rowOf }: SparsePattern, i: number, j: number): number {
  let low = columnStarts[j]!;
  let high = columnStarts[j + 1]! - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rowOf[middle]! < i) low = middle + 1;
    else high = middle;
  }
  if (rowOf[low] !== i) throw new RangeError(`the pattern has no element (${i}, ${j})`);
  return low;
}

/**
 * Factor of a symmetric positive matrix, row by row.
 * @param values of the upper triangle, in the order of the pattern
 * @throws RangeError when the matrix is not positive
 * Source: Davis2005 (up-looking L D L').
 */
export function sparseFactor(pattern: SparsePattern, values: Float64Array): SparseFactor {
  const { size, columnStarts, rowOf, parents, factorStarts } = pattern;
  const rows = new Int32Array(factorStarts[size]!);
  const factor = new Float64Array(factorStarts[size]!);
  const diagonal = new Float64Array(size);
  const filled = new Int32Array(size);
  const work = new Float64Array(size);
  const order = new Int32Array(size);
  const path = new Int32Array(size);
  const seen = new Int32Array(size).fill(-1);
  for (let k = 0; k < size; k++) {
    let top = size;
    seen[k] = k;
    for (let at = columnStarts[k]!; at < columnStarts[k + 1]!; at++) {
      let i = rowOf[at]!;
      work[i]! += values[at]!;
      let length = 0;
      for (; seen[i] !== k; i = parents[i]!) {
        path[length++] = i;
        seen[i] = k;
      }
      while (length > 0) order[--top] = path[--length]!;
    }
    let pivot = work[k]!;
    work[k] = 0;
    for (; top < size; top++) {
      const i = order[top]!;
      const value = work[i]!;
      work[i] = 0;
      const end = factorStarts[i]! + filled[i]!;
      for (let at = factorStarts[i]!; at < end; at++) work[rows[at]!]! -= factor[at]! * value;
      const element = value / diagonal[i]!;
      pivot -= element * value;
      rows[end] = k;
      factor[end] = element;
      filled[i]!++;
    }
    if (!(pivot > 0)) throw new RangeError("the matrix is not positive");
    diagonal[k] = pivot;
  }
  return { pattern, rows, values: factor, diagonal };
}

/** Solves A x = right for x. */
export function sparseSolve({ pattern, rows, values, diagonal }: SparseFactor, right: Float64Array): Float64Array {
  const { size, factorStarts } = pattern;
  const x = Float64Array.from(right);
  for (let j = 0; j < size; j++) {
    const value = x[j]!;
    if (value === 0) continue;
    for (let at = factorStarts[j]!; at < factorStarts[j + 1]!; at++) x[rows[at]!]! -= values[at]! * value;
  }
  for (let j = size - 1; j >= 0; j--) {
    let value = x[j]! / diagonal[j]!;
    for (let at = factorStarts[j]!; at < factorStarts[j + 1]!; at++) value -= values[at]! * x[rows[at]!]!;
    x[j] = value;
  }
  return x;
}

/** Natural logarithm of the determinant of A. */
export function sparseLogDeterminant({ diagonal }: SparseFactor): number {
  return diagonal.reduce((sum, value) => sum + Math.log(value), 0);
}
