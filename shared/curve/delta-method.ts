/** Standard uncertainty of a quantity computed from the parameters, by the delta method. */
export function deltaSigma(
  covariance: readonly (readonly number[])[],
  parameters: readonly number[],
  quantity: (parameters: readonly number[]) => number,
): number {
  if (covariance.length === 0) return 0;
  const gradient = parameters.map((value, j) => {
    const delta = 1e-5 * Math.max(1, Math.abs(value));
    const above = [...parameters];
    const below = [...parameters];
    above[j] = value + delta;
    below[j] = value - delta;
    return (quantity(above) - quantity(below)) / (2 * delta);
  });
  let variance = 0;
  covariance.forEach((row, i) => row.forEach((value, j) => (variance += gradient[i]! * value * gradient[j]!)));
  return Math.sqrt(Math.max(0, variance));
}
