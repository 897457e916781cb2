import type { Curve } from "#shared/schema/curve.ts";

/** How far above the darkest step a plot follows the confidence band, as a multiple of that step. */
const roomForBand = 1.25;
/** A print whose darkest step is paler than this is drawn on the same scale as one that reaches it. */
const smallestTopDensity = 0.2;

/**
 * Highest density that a plot of curves has to show. The band of a failed test may be as wide as the world; the plot
 * follows it no further than a quarter above the darkest step.
 * @returns density above paper, at least 0.2
 */
export function topShownDensity(curves: readonly Pick<Curve, "samples" | "steps">[]): number {
  const darkest = curves
    .flatMap(({ steps }) => steps.map(({ density }) => density))
    .reduce((most, density) => Math.max(most, density), smallestTopDensity);
  const highest = curves
    .flatMap(({ samples }) => samples.map(({ upper }) => upper))
    .reduce((most, upper) => Math.max(most, upper), darkest);
  return Math.min(highest, roomForBand * darkest);
}
