// Strips that show no curve at all: blank, solid blue, or laid the wrong way round.
import type { CurveStep } from "#shared/curve/curve-step.ts";

/** Steps that differ by less than this all show one tone. */
const oneToneDensity = 0.15;
/** One tone deeper than this is full blue, lighter is hardly any. */
const saturatedDensity = 0.4;

/** What a strip shows as a whole. */
export type StripState = "tones" | "hardly-any-blue" | "all-full-blue" | "wrong-way-round";

/**
 * Whether a strip shows tones that rise with exposure.
 * @param steps usable steps, rising logH
 */
export function stripState(steps: readonly Pick<CurveStep, "logH" | "density">[]): StripState {
  const densities = steps.map((step) => step.density);
  const top = Math.max(...densities);
  if (top - Math.min(...densities) < oneToneDensity)
    return top < saturatedDensity ? "hardly-any-blue" : "all-full-blue";
  const third = Math.max(1, Math.floor(steps.length / 3));
  const mean = (list: readonly number[]) => list.reduce((sum, value) => sum + value, 0) / list.length;
  const least = mean(densities.slice(0, third));
  const most = mean(densities.slice(-third));
  // A reversal darkens the middle; a strip read from the wrong end falls from first to last.
  const middle = mean(densities.slice(third, densities.length - third));
  return least - most > oneToneDensity && middle < least + oneToneDensity / 2 ? "wrong-way-round" : "tones";
}
