// Density of a place in a picture by the steps of a strip beside it, where no paper lies round the place itself.
import type { PointPx } from "#shared/schema/reading.ts";
import { median, robustSigma } from "#shared/statistics/robust.ts";

/** A place whose red light was sampled. */
export interface LitPlace {
  readonly at: PointPx;
  /** Mean linear red light, above 0. */
  readonly light: number;
}

export interface SpotDensity {
  /** Red density above the strip's own paper. */
  readonly density: number;
  readonly sigma: number;
}

/** Scatter of a place on an evenly coated print [density]. common practice, no source */
const placeSigma = 0.008;

/**
 * Density of a place above the strip's paper. Each step's light and density tell how bright paper is there; light that
 * falls off along the strip may go on falling beyond it, so the place is less sure the further it lies from the strip.
 * @param steps of the strip in the same picture, with the densities that were read of them
 * @throws RangeError without steps
 * Source: D = log10 (paper / light); the widening is our judgement.
 */
export function spotDensity(steps: readonly (LitPlace & { readonly density: number })[], spot: LitPlace): SpotDensity {
  const white = steps.map(({ light, density }) => Math.log10(light) + density);
  const middle = median(white);
  const distances = steps.map(({ at }) => Math.hypot(at[0] - spot.at[0], at[1] - spot.at[1]));
  const nearest = Math.min(...distances);
  const [first, last] = [steps[0], steps[steps.length - 1]];
  const span = first && last ? Math.hypot(first.at[0] - last.at[0], first.at[1] - last.at[1]) : 0;
  const fall = span > 0 ? Math.abs((white[white.length - 1] ?? middle) - (white[0] ?? middle)) / span : 0;
  const paperSigma = white.length > 1 ? robustSigma(white, middle) / Math.sqrt(white.length) : placeSigma;
  return {
    density: middle - Math.log10(spot.light),
    sigma: Math.hypot(placeSigma, paperSigma, fall * nearest),
  };
}
