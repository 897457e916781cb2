/**
 * Variance of a weighted sum of correlated values.
 * @param weights of the values
 * @param covariance of the values, symmetric; rounding below 0 counts as 0
 * @returns w' C w, in the covariance's unit times the weights' squared
 * Source: the usual law of propagation.
 */
export function varianceOfSum(weights: readonly number[], covariance: readonly (readonly number[])[]): number {
  const variance = weights.reduce(
    (sum, weight, i) => sum + weight * weights.reduce((inner, other, j) => inner + other * covariance[i]![j]!, 0),
    0,
  );
  return Math.max(0, variance);
}
