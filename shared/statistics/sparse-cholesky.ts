// Cholesky factors of large symmetric matrices of which most elements are zero: what many small groups of unknowns that
// share a few common ones give. Only what is not zero is stored and reckoned with.
import { neighboursOf } from "./neighbours.ts";

/** Where a matrix and its factor have elements; made once, used for every set of values. */
export interface SparsePattern {
  readonly size: number;
  /** Upper triangle by columns: rows of column j stand at columnStarts[j] to columnStarts[j + 1], the diagonal last. */
  readonly columnStarts: Int32Array;
  readonly rowOf: Int32Array;
  /** The factor by columns: rows of column j, without the diagonal, at factorStarts[j] to factorStarts[j + 1]. */
  readonly factorStarts: Int32Array;
  readonly factorRows: Int32Array;
  /**
   * The factor by rows: columns of row k at reachStarts[k] to reachStarts[k + 1], in an order in which each comes after
   * those that it hangs on.
   */
  readonly reachStarts: Int32Array;
  readonly reach: Int32Array;
}

/** L D L' = A: unit lower triangle by columns, and the diagonal. */
export interface SparseFactor {
  readonly starts: Int32Array;
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
export function sparsePattern(size: number, groups: readonly (readonly number[])[]): SparsePattern {
  const columns = Array.from({ length: size }, (): number[] => []);
  neighboursOf(size, groups).forEach((met, i) => {
    for (const j of met) if (i < j) columns[j]!.push(i);
  });
  const columnStarts = new Int32Array(size + 1);
  columns.forEach((column, j) => (columnStarts[j + 1] = columnStarts[j]! + column.length + 1));
  const rowOf = new Int32Array(columnStarts[size]!);
  columns.forEach((column, j) => {
    rowOf.set(column, columnStarts[j]!);
    rowOf[columnStarts[j + 1]! - 1] = j;
  });
  return { size, columnStarts, rowOf, ...factorPattern(size, columnStarts, rowOf) };
}

type FactorPattern = Pick<SparsePattern, "factorStarts" | "factorRows" | "reachStarts" | "reach">;

function factorPattern(size: number, columnStarts: Int32Array, rowOf: Int32Array): FactorPattern {
  const parents = new Int32Array(size).fill(-1);
  const seen = new Int32Array(size).fill(-1);
  const reachStarts = new Int32Array(size + 1);
  const reach: number[] = [];
  const counts = new Int32Array(size);
  const order = new Int32Array(size);
  const path = new Int32Array(size);
  for (let k = 0; k < size; k++) {
    let top = size;
    seen[k] = k;
    for (let at = columnStarts[k]!; at < columnStarts[k + 1]!; at++) {
      let length = 0;
      for (let i = rowOf[at]!; seen[i] !== k; i = parents[i]!) {
        if (parents[i] === -1) parents[i] = k;
        counts[i]!++;
        path[length++] = i;
        seen[i] = k;
      }
      while (length > 0) order[--top] = path[--length]!;
    }
    for (; top < size; top++) reach.push(order[top]!);
    reachStarts[k + 1] = reach.length;
  }
  const factorStarts = new Int32Array(size + 1);
  for (let k = 0; k < size; k++) factorStarts[k + 1] = factorStarts[k]! + counts[k]!;
  const factorRows = new Int32Array(reach.length);
  const next = factorStarts.slice();
  for (let k = 0; k < size; k++)
    for (let at = reachStarts[k]!; at < reachStarts[k + 1]!; at++) factorRows[next[reach[at]!]!++] = k;
  return { factorStarts, factorRows, reachStarts, reach: Int32Array.from(reach) };
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
  const { size, columnStarts, rowOf, factorStarts: starts, factorRows: rows, reachStarts, reach } = pattern;
  const factor = new Float64Array(rows.length);
  const diagonal = new Float64Array(size);
  const ends = starts.slice();
  const work = new Float64Array(size);
  for (let k = 0; k < size; k++) {
    for (let at = columnStarts[k]!; at < columnStarts[k + 1]!; at++) work[rowOf[at]!]! += values[at]!;
    let pivot = work[k]!;
    work[k] = 0;
    for (let step = reachStarts[k]!; step < reachStarts[k + 1]!; step++) {
      const i = reach[step]!;
      const value = work[i]!;
      work[i] = 0;
      const end = ends[i]!;
      for (let at = starts[i]!; at < end; at++) work[rows[at]!]! -= factor[at]! * value;
      const element = value / diagonal[i]!;
      pivot -= element * value;
      factor[end] = element;
      ends[i] = end + 1;
    }
    if (!(pivot > 0)) throw new RangeError("the matrix is not positive");
    diagonal[k] = pivot;
  }
  return { starts, rows, values: factor, diagonal };
}

/** Solves A x = right for x. */
export function sparseSolve({ starts, rows, values, diagonal }: SparseFactor, right: Float64Array): Float64Array {
  const size = diagonal.length;
  const x = Float64Array.from(right);
  for (let j = 0; j < size; j++) {
    const value = x[j]!;
    if (value === 0) continue;
    for (let at = starts[j]!; at < starts[j + 1]!; at++) x[rows[at]!]! -= values[at]! * value;
  }
  for (let j = size - 1; j >= 0; j--) {
    let value = x[j]! / diagonal[j]!;
    for (let at = starts[j]!; at < starts[j + 1]!; at++) value -= values[at]! * x[rows[at]!]!;
    x[j] = value;
  }
  return x;
}

/** right' A⁻¹ right: half the work of solving, and little where `right` is mostly zero. */
export function sparseQuadraticForm({ starts, rows, values, diagonal }: SparseFactor, right: Float64Array): number {
  const x = right.slice();
  let sum = 0;
  for (let j = 0; j < x.length; j++) {
    const value = x[j]!;
    if (value === 0) continue;
    sum += (value * value) / diagonal[j]!;
    for (let at = starts[j]!; at < starts[j + 1]!; at++) x[rows[at]!]! -= values[at]! * value;
  }
  return sum;
}

/** Natural logarithm of the determinant of A. */
export function sparseLogDeterminant({ diagonal }: SparseFactor): number {
  return diagonal.reduce((sum, value) => sum + Math.log(value), 0);
}
