// How prints scatter in the rest of a studio: what one combination's tests are held against.
import type { Scatter } from "#shared/studio-model/one-combination.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";

/** Observations of the rest of a studio from which its scatter of prints is taken for every combination. */
const fewestOthers = 10;
/**
 * Combinations of one studio differ in their scatter by so much [natural logarithm, standard deviation]. common
 * practice, no source
 */
export const scatterDiffers = 0.35;

/**
 * Scatter from print to print that a studio shows [log10], for one of its combinations.
 * @param own observations of that combination
 * @returns null where too few others were made
 */
export function scatterBeside({ accounts, observations }: StudioFit, own: number): Scatter | null {
  if (observations.length - own < fewestOthers) return null;
  const parts = accounts.flatMap(({ solutions }) =>
    solutions.map(({ solution, weight }) => ({ log: Math.log(solution.spreads.print), weight })),
  );
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  const mean = parts.reduce((sum, { log, weight }) => sum + weight * log, 0) / total;
  const variance = parts.reduce((sum, { log, weight }) => sum + weight * (log - mean) ** 2, 0) / total;
  return { median: Math.exp(mean), logSigma: Math.hypot(Math.sqrt(variance), scatterDiffers) };
}
