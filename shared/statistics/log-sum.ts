/**
 * Natural logarithm of a sum of exponentials, without overflow.
 * @param values any; -Infinity adds nothing
 * @returns -Infinity where all are
 */
export function logSum(values: readonly number[]): number {
  const most = Math.max(...values);
  if (most === -Infinity) return -Infinity;
  return most + Math.log(values.reduce((sum, value) => sum + Math.exp(value - most), 0));
}
