import { normalShareBelow } from "./normal-distribution.ts";

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
  return normalShareBelow((runs + 0.5 - mean) / Math.sqrt(variance));
}
