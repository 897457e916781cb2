// How long the next test should be, when this one did not catch the shoulder.
import type { Channel } from "#shared/schema/curve.ts";
import { maxExposureSeconds } from "./longest-exposure.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { sigmoidDensity, sigmoidLogH } from "#shared/curve/sigmoid.ts";

/** What such coatings usually do, to plan a test with, never to advise an exposure. */
const usual = {
  /** D-max above paper, natural logarithm with its standard deviation. Source: from memory (process notes: red band 1.3-1.8, visual 1.0-1.3). */
  logNet: { red: Math.log(1.45), visual: Math.log(1.1), sigma: 0.25 },
  /** Share gained per log H at the middle, natural logarithm: log exposure ranges of 1.0-1.6. Source: from memory. */
  logSlope: { mean: Math.log(1.1), sigma: 0.35 },
  paperSigmaDensity: 0.02,
  /** The shape differs from the symmetric one used here. */
  modelDensity: 0.03,
};

/** A blank strip says only that the middle lies at least about this far beyond its lightest touch of blue. */
const blankDensity = 0.04;

/** The shoulder of the next test should lie this far inside its clear end, as a share of the tablet's span, within limits. */
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

/**
 * Time after a blank strip, which tells nothing but "much longer": enough to cross a usual exposure range, no more than the
 * tablet can catch.
 */
export function blankStripSeconds({ testSeconds, spanLogH }: { testSeconds: number; spanLogH: number }): number {
  return roundedSeconds(Math.min(maxExposureSeconds, testSeconds * 10 ** Math.min(1.8, Math.max(1, spanLogH - 0.6))));
}

/** Where to take the shoulder when even the least exposed step is past it. */
export function shoulderBelow(lowestLogH: number): number {
  return lowestLogH - belowSaturatedLogH;
}

/** Rounded to a step of about 3 %, in the units of a clock. */
export function roundedSeconds(seconds: number): number {
  const steps = [0.1, 0.5, 1, 5, 10, 15, 30, 60, 300, 600, 1800, 3600];
  const step = [...steps].reverse().find((candidate) => candidate <= seconds * 0.06) ?? 0.1;
  return Math.max(0.1, Math.round(Math.round(seconds / step) * step * 10) / 10);
}
