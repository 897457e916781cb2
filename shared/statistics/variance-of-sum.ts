/**
 * Variance of a weighted sum of correlated values.
 * @param weights of the values
 * @param covariance of the values, symmetric; rounding below 0 counts as 0
 * @returns w' C w, in the covariance's unit times the weights' squared
 * Source: the usual law of propagation.
 */
export function varianceOfSum(weights: readonly number[], covariance: readonly (readonly number[])[]): number {
  let variance = 0;
  for (let i = 0; i < weights.length; i++) {
    const row = covariance[i]!;
    let inner = 0;
    for (let j = 0; j < weights.length; j++) inner += weights[j]! * row[j]!;
    variance += weights[i]! * inner;
  }
  return Math.max(0, variance);
}
