/**
 * How unlikely so few changes of sign are, if the residuals were independent: small means a shape the model misses.
 * @param residuals in order of log H; zeros are skipped
 * @returns one-sided probability 0-1 (normal approximation); 1 when there are too few to judge
 * Source: WaldWolfowitz1940.
 */
export function fewRunsProbability(residuals: readonly number[]): number {
  const signs = residuals.filter((value) => value !== 0).map(Math.sign);
  const above = signs.filter((sign) => sign > 0).length;
  const below = signs.length - above;
  if (above < 2 || below < 2) return signs.length < 6 ? 1 : 1 / 2 ** (signs.length - 1);
  let runs = 1;
  for (let i = 1; i < signs.length; i++) if (signs[i] !== signs[i - 1]) runs++;
  const total = above + below;
  const product = 2 * above * below;
  const mean = product / total + 1;
  const variance = (product * (product - total)) / (total * total * (total - 1));
  return normalBelow((runs + 0.5 - mean) / Math.sqrt(variance));
}

/** Standard normal distribution function, error below 1.5e-7 (AbramowitzStegun1964 7.1.26). */
function normalBelow(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
    Math.exp(-x * x);
  return z > 0 ? 1 - tail / 2 : tail / 2;
}
