// The few 3 x 3 matrix acts that colour spaces need. Matrices are nine numbers, row by row.

export type Matrix3 = readonly [number, number, number, number, number, number, number, number, number];
export type Vector3 = readonly [number, number, number];

/** Product of two matrices: the one on the right acts first. */
export function productOfMatrices(a: Matrix3, b: Matrix3): Matrix3 {
  const cell = (row: number, column: number) =>
    a[row * 3]! * b[column]! + a[row * 3 + 1]! * b[column + 3]! + a[row * 3 + 2]! * b[column + 6]!;
  return [cell(0, 0), cell(0, 1), cell(0, 2), cell(1, 0), cell(1, 1), cell(1, 2), cell(2, 0), cell(2, 1), cell(2, 2)];
}

/** A matrix applied to a column of three. */
export function transformed(m: Matrix3, v: Vector3): Vector3 {
  return [component(m, 0, ...v), component(m, 1, ...v), component(m, 2, ...v)];
}

/**
 * One component of a matrix applied to a column of three: for loops over pixels, which make no array for each.
 * @param row 0, 1 or 2
 */
export function component(m: Matrix3, row: 0 | 1 | 2, x: number, y: number, z: number): number {
  const at = 3 * row;
  return m[at]! * x + m[at + 1]! * y + m[at + 2]! * z;
}

/** Determinant of a matrix; 0 when it flattens space. @param m its nine numbers, in whatever list */
export function determinantOf(m: ArrayLike<number>): number {
  return (
    m[0]! * (m[4]! * m[8]! - m[5]! * m[7]!) -
    m[1]! * (m[3]! * m[8]! - m[5]! * m[6]!) +
    m[2]! * (m[3]! * m[7]! - m[4]! * m[6]!)
  );
}

/** Inverse of a matrix. @throws RangeError when it has none */
export function inverseMatrix(m: Matrix3): Matrix3 {
  const d = determinantOf(m);
  if (!Number.isFinite(d) || d === 0) throw new RangeError("This matrix has no inverse.");
  return [
    (m[4] * m[8] - m[5] * m[7]) / d,
    (m[2] * m[7] - m[1] * m[8]) / d,
    (m[1] * m[5] - m[2] * m[4]) / d,
    (m[5] * m[6] - m[3] * m[8]) / d,
    (m[0] * m[8] - m[2] * m[6]) / d,
    (m[2] * m[3] - m[0] * m[5]) / d,
    (m[3] * m[7] - m[4] * m[6]) / d,
    (m[1] * m[6] - m[0] * m[7]) / d,
    (m[0] * m[4] - m[1] * m[3]) / d,
  ];
}
