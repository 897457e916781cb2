/** Standard uncertainty of a quantity computed from the parameters, by the delta method. */
export function deltaSigma(
  covariance: readonly (readonly number[])[],
  parameters: readonly number[],
  quantity: (parameters: readonly number[]) => number,
): number {
  return deltaSigmas(covariance, parameters, (moved) => [quantity(moved)])[0]!;
}

/** The same for several quantities that are computed together. */
export function deltaSigmas(
  covariance: readonly (readonly number[])[],
  parameters: readonly number[],
  quantities: (parameters: readonly number[]) => readonly number[],
): number[] {
  if (covariance.length === 0) return quantities(parameters).map(() => 0);
  const gradients = parameters.map((value, j) => {
    const delta = 1e-5 * Math.max(1, Math.abs(value));
    const above = [...parameters];
    const below = [...parameters];
    above[j] = value + delta;
    below[j] = value - delta;
    const low = quantities(below);
    return quantities(above).map((high, k) => (high - low[k]!) / (2 * delta));
  });
  return gradients[0]!.map((_, k) => {
    let variance = 0;
    covariance.forEach((row, i) => {
      const first = gradients[i]![k]!;
      if (first !== 0) row.forEach((value, j) => (variance += first * value * gradients[j]![k]!));
    });
    return Math.sqrt(Math.max(0, variance));
  });
}
