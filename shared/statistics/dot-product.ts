/**
 * Sum of the products of two vectors, place by place.
 * @param a as long as b, in any unit
 */
export function dotProduct(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
