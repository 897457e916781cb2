// What the coating itself adds to single steps: grain of paper and brush that no reading and no tablet speaks of.
import type { WeightedStep } from "./candidate-shapes.ts";

/**
 * Grain of usual coatings [density], and how far it is likely to differ, natural logarithm.
 * Source: common practice, no source.
 */
export const usualGrainDensity = 0.005;
const logSigma = 0.7;
/** Sizes tried, as natural logarithms of the usual one. */
const tried = Array.from({ length: 36 }, (_, i) => -1.5 + 0.1 * i);

/**
 * The most likely grain, the same in every step: it hardly shows where the tablet's tolerance swings a step up and
 * down the curve's
 * slope, and rules where the curve is flat.
 * @param squares squared residuals of the steps about their curve [density squared]
 * @param followed factor by which a curve that follows its steps makes their residuals' squares too small
 * @returns standard deviation [density]
 * Source: the likelihood of independent normal errors with a normal prior on the logarithm, from memory.
 */
export function coatingGrainDensity(
  stated: readonly Pick<WeightedStep, "sigma">[],
  squares: readonly number[],
  followed: number,
): number {
  const score = (log: number) => {
    const grain = usualGrainDensity * Math.exp(log);
    return stated.reduce(
      (sum, { sigma }, i) => {
        const variance = sigma ** 2 + grain ** 2;
        return sum - (Math.log(variance) + (followed * squares[i]!) / variance) / (2 * followed);
      },
      -((log / logSigma) ** 2) / 2,
    );
  };
  const best = tried.reduce((a, b) => (score(b) > score(a) ? b : a));
  return usualGrainDensity * Math.exp(best);
}

/** A step with the coating's grain in its uncertainty, and everything scaled by the scatter that was found. */
export function withGrain(step: WeightedStep, grain: number, scatterFactor: number): WeightedStep {
  const sigma = Math.hypot(step.sigma, grain);
  return {
    ...step,
    sigma: sigma * scatterFactor,
    tabletVarianceShare: ((step.tabletVarianceShare ?? 0) * step.sigma ** 2) / sigma ** 2,
  };
}
