// Whether the measured steps show a shoulder, judged before any shape is fitted to them.
import type { FittedStep } from "#shared/schema/curve.ts";

/** The most exposed steps that are looked at: those within this log exposure of the last, and two at least. */
const windowLogH = 0.31;
/** A climb counts when it exceeds its own standard error so many times. */
const climbSigmas = 2;
/** A climb smaller than this share of the whole strip's range is that of a slow shoulder, for the fit to judge. */
const smallestClimbShare = 0.055;

/** What the most exposed steps do. */
export interface ShoulderEvidence {
  /** True where they still climb by more than their noise: the deepest blue is not in the strip, whatever a fit says. */
  readonly isClimbing: boolean;
  /** Density gained over the steps looked at, by a straight line. */
  readonly climb: number;
  readonly climbSigma: number;
}

/**
 * @param steps usable steps, rising logH, at least three
 * @param scatter of single steps about their neighbours, density
 * Source: common practice, no source (two standard errors, as for any trend).
 */
export function shoulderEvidence(
  steps: readonly Pick<FittedStep, "logH" | "density" | "sigma">[],
  scatter: number,
): ShoulderEvidence {
  const top = steps[steps.length - 1]!.logH;
  const near = steps.filter((step, i) => step.logH >= top - windowLogH || i >= steps.length - 2);
  const width = top - near[0]!.logH;
  if (!(width > 0)) return { isClimbing: false, climb: 0, climbSigma: 0 };
  const weights = near.map((step) => 1 / Math.max(step.sigma, scatter, 1e-3) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (step: (typeof near)[number]) => number) =>
    near.reduce((sum, step, i) => sum + weights[i]! * of(step), 0) / total;
  const centre = mean((step) => step.logH);
  const spread = mean((step) => (step.logH - centre) ** 2);
  const slope = mean((step) => (step.logH - centre) * step.density) / spread;
  const climb = slope * width;
  const climbSigma = width / Math.sqrt(total * spread);
  const densities = steps.map((step) => step.density);
  const range = Math.max(...densities) - Math.min(0, ...densities);
  return { isClimbing: climb > Math.max(climbSigmas * climbSigma, smallestClimbShare * range), climb, climbSigma };
}
