// How long the next test should be, when this one did not catch the shoulder.
import type { Channel } from "#shared/schema/curve.ts";
import { maxExposureSeconds } from "#shared/limits.ts";
import { normalShareBelow, quartileSigmas, rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { sigmoidDensity, sigmoidLogH } from "#shared/curve/sigmoid.ts";

/** What such coatings usually do, to plan a test with, never to advise an exposure. */
const usual = {
  /**
   * D-max above paper, natural logarithm with its standard deviation.
   * Source: from memory (process notes: red band 1.3-1.8, visual 1.0-1.3).
   */
  logNet: { red: Math.log(1.45), visual: Math.log(1.1), sigma: 0.25 },
  /** Share gained per log H at the middle, natural logarithm: log exposure ranges of 1.0-1.6. Source: from memory. */
  logSlope: { mean: Math.log(1.1), sigma: 0.35 },
  paperSigmaDensity: 0.02,
  /** The shape differs from the symmetric one used here. */
  modelDensity: 0.03,
};

/** A blank strip says only that the middle lies at least about this far beyond its lightest touch of blue. */
const blankDensity = 0.04;

/**
 * The shoulder of the next test should lie this far inside its clear end, as a share of the tablet's span, within
 * limits.
 */
const marginShare = 0.25;
const smallestMarginLogH = 0.3;
const largestMarginLogH = 0.75;
/** When every step is at full depth, the shoulder is taken to lie this far below the least exposed one. */
const belowSaturatedLogH = 0.3;

export interface PlannedStep {
  readonly logH: number;
  readonly density: number;
  readonly sigma: number;
}

/**
 * Where the shoulder probably lies, from what the strip shows and what such coatings usually do.
 * Good enough to plan a test, not to print by.
 * @param steps usable steps, rising logH
 * @returns log10 of relative exposure
 */
export function probableShoulderLogH({
  steps,
  channel,
  share,
}: {
  steps: readonly PlannedStep[];
  channel: Channel;
  share: number;
}): number {
  const last = steps[steps.length - 1]!;
  const residuals = ([dMin, logNet, middle, logSlope]: readonly number[]) => {
    const parameters = [dMin!, Math.exp(logNet!), middle!, logSlope!];
    return [
      ...steps.map(
        (step) => (sigmoidDensity(parameters, step.logH) - step.density) / Math.hypot(step.sigma, usual.modelDensity),
      ),
      dMin! / usual.paperSigmaDensity,
      (logNet! - usual.logNet[channel]) / usual.logNet.sigma,
      (logSlope! - usual.logSlope.mean) / usual.logSlope.sigma,
      // Only a blank strip leaves the middle free; this keeps it from running away.
      Math.max(0, middle! - last.logH - 1.2) * 3,
    ];
  };
  const fits = [-0.6, 0, 0.6, 1.2].map((offset) =>
    levenbergMarquardt({
      residuals,
      start: [0, usual.logNet[channel], last.logH + offset, usual.logSlope.mean],
      stepTolerance: 1e-8,
    }),
  );
  const [dMin, logNet, middle, logSlope] = fits.reduce((a, b) =>
    b.residualSumSquares < a.residualSumSquares ? b : a,
  ).parameters;
  return sigmoidLogH([dMin!, Math.exp(logNet!), middle!, logSlope!], share);
}

/** Whether the strip shows no blue at all. */
export function isBlank(steps: readonly PlannedStep[]): boolean {
  return steps.every((step) => step.density < Math.max(blankDensity, 3 * step.sigma));
}

/**
 * Time of a test that puts the shoulder well inside the tablet.
 * @param shoulderLogH where the shoulder is, or probably is
 * @param highestLogH the most exposed step of this test
 * @param spanLogH from the least to the most exposed step of the tablet
 * @param seconds whole (or longest) exposure of this test [s]
 * @param longest no longer than this [s]
 * @returns seconds, rounded as a person would set a clock
 */
export function nextTestSeconds({
  shoulderLogH,
  highestLogH,
  spanLogH,
  seconds,
  longest,
}: {
  shoulderLogH: number;
  highestLogH: number;
  spanLogH: number;
  seconds: number;
  longest: number;
}): number {
  const margin = Math.min(largestMarginLogH, Math.max(smallestMarginLogH, marginShare * spanLogH));
  return roundedSeconds(Math.min(longest, seconds * 10 ** (shoulderLogH + margin - highestLogH)));
}

/** One length to try, with its chance of a good test (0-1). */
export interface TestToTry {
  readonly seconds: number;
  readonly chance: number;
}

/** No first try is longer than this, unless the test itself was: an hour of a shared lamp is much to ask. */
const mostFirstSeconds = 3600;
/**
 * A blank strip mostly means that something else is wrong: no first try after it is more than so many times as long.
 */
const blankFactor = 10;
/** A first try should be right three times in four, a sure one 97.5 times in 100: standard deviations of the guess. */
const likelySigmas = quartileSigmas;
const sureSigmas = rangeSigmas;
/**
 * How far the guess of the shoulder may be off [standard deviation, log10]: over simulated strips that were too short
 * it lies within a factor of two of the truth in nine cases of ten. A blank strip says hardly more than "longer".
 */
const guessSigmaLogH = 0.18;
const blankSigmaLogH = 0.45;
/**
 * The most exposed step must lie this far past the shoulder for the deepest blue to be seen. Found on simulated tests.
 */
export const neededMarginLogH = 0.3;
/** After a blank strip the shoulder is taken to lie this far past its most exposed step. */
const beyondBlankLogH = 1.1;

/**
 * Lengths for the next test after one that was too short: a first try that is likely right and that a studio can
 * afford, then, where that is longer, one that is nearly sure.
 * @param shoulderLogH where the shoulder probably is; null after a blank strip
 * @param highestLogH the most exposed step of this test
 * @returns one or two, rising; seconds rounded as a person would set a clock
 */
export function nextTests({
  shoulderLogH,
  highestLogH,
  testSeconds,
}: {
  shoulderLogH: number | null;
  highestLogH: number;
  testSeconds: number;
}): TestToTry[] {
  const isBlankStrip = shoulderLogH === null;
  const needed = (shoulderLogH ?? highestLogH + beyondBlankLogH) + neededMarginLogH - highestLogH;
  const sigma = isBlankStrip ? blankSigmaLogH : guessSigmaLogH;
  const chanceOf = (seconds: number) => normalShareBelow((Math.log10(seconds / testSeconds) - needed) / sigma);
  const lengthFor = (sigmas: number) => testSeconds * 10 ** (needed + sigma * sigmas);
  const longest = Math.max(mostFirstSeconds, 2 * testSeconds);
  const shortest = 1.5 * testSeconds;
  const capped = Math.min(isBlankStrip ? blankFactor * testSeconds : longest, longest, maxExposureSeconds);
  const first = roundedSeconds(Math.min(Math.max(lengthFor(likelySigmas), shortest), capped));
  const sure = roundedSeconds(Math.min(Math.max(lengthFor(sureSigmas), shortest), maxExposureSeconds));
  const tries = [{ seconds: first, chance: chanceOf(first) }];
  // A second figure that hardly differs from the first helps nobody; a blank strip does not tell a sure one.
  if (!isBlankStrip && sure > 1.25 * first) tries.push({ seconds: sure, chance: chanceOf(sure) });
  return tries;
}

/** Where to take the shoulder when even the least exposed step is past it. */
export function shoulderBelow(lowestLogH: number): number {
  return lowestLogH - belowSaturatedLogH;
}

/** Rounded to a step of about 3 %, in the units of a clock. */
function roundedSeconds(seconds: number): number {
  const steps = [0.1, 0.5, 1, 5, 10, 15, 30, 60, 300, 600, 1800, 3600];
  const step = [...steps].reverse().find((candidate) => candidate <= seconds * 0.06) ?? 0.1;
  return Math.max(0.1, Math.round(Math.round(seconds / step) * step * 10) / 10);
}
