// Whether the measured steps show a shoulder, judged before any shape is fitted to them.
import { usualGrainDensity } from "#shared/curve/coating-grain.ts";
import type { FittedStep } from "#shared/schema/curve.ts";

/**
 * Two stretches of this log exposure are compared: the most exposed steps, and those before them; two steps each at
 * least.
 */
const stretchLogH = 0.31;
/** A climb counts when it exceeds its own standard error so many times. */
const climbSigmas = 2;
/**
 * What is still to come, as a share of the depth reached: with more, the deepest blue may lie beyond the strip. Below
 * this it is no more than what the eye can tell of two deep blues side by side. Common practice, no source.
 */
const mostRemainingShare = 0.015;
/** Where the climb hardly slows down, this much of it is taken to come again in each further stretch. */
const mostKept = 0.8;

type MeasuredStep = Pick<FittedStep, "logH" | "density" | "sigma">;

/** What the most exposed steps do. */
export interface ShoulderEvidence {
  /**
   * True where they still climb by more than their noise, and much is still to come: the deepest blue is not in the
   * strip, unless it goes on far beyond the shoulder.
   */
  readonly isClimbing: boolean;
  /** Density gained over the most exposed stretch, by a straight line, with its standard error. */
  readonly climb: number;
  readonly climbSigma: number;
  /** Log exposure of that stretch. */
  readonly stretchLogH: number;
  /** Density still to come, were each further stretch to gain less in the same proportion. */
  readonly remaining: number;
}

/**
 * @param steps usable steps, rising logH, at least four
 * @param scatter of single steps where the curve is nearly flat, density; each is taken to scatter at least by its own
 *   uncertainty and the usual grain of a coating
 * Source: two standard errors, as for any trend: common practice, no source. What is still to come is the sum of a
 *   geometric series,
 * known as Aitken's delta-squared process, from memory.
 */
export function shoulderEvidence(steps: readonly MeasuredStep[], scatter: number): ShoulderEvidence {
  const top = steps[steps.length - 1]!.logH;
  const last = steps.filter((step, i) => step.logH >= top - stretchLogH || i >= steps.length - 2);
  const rest = steps.slice(0, steps.length - last.length + 1);
  const before = rest.filter((step, i) => step.logH >= last[0]!.logH - stretchLogH || i >= rest.length - 2);
  const { slope, slopeSigma } = lineThrough(last, scatter);
  const width = top - last[0]!.logH;
  const climb = slope * width;
  const climbSigma = slopeSigma * width;
  const kept = climb / Math.max(climb, lineThrough(before, scatter).slope * width, 1e-6);
  const share = Math.min(mostKept, Math.max(0, kept));
  const remaining = Math.max(0, (climb * share) / (1 - share));
  const reached = Math.max(...steps.map((step) => step.density)) - Math.min(0, steps[0]!.density);
  return {
    isClimbing: climb > climbSigmas * climbSigma && remaining > mostRemainingShare * reached,
    climb,
    climbSigma,
    stretchLogH: width,
    remaining,
  };
}

function lineThrough(steps: readonly MeasuredStep[], scatter: number): { slope: number; slopeSigma: number } {
  const weights = steps.map((step) => 1 / Math.max(Math.hypot(step.sigma, usualGrainDensity), scatter) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (step: MeasuredStep) => number) =>
    steps.reduce((sum, step, i) => sum + weights[i]! * of(step), 0) / total;
  const centre = mean((step) => step.logH);
  const spread = mean((step) => (step.logH - centre) ** 2);
  if (!(spread > 0)) return { slope: 0, slopeSigma: 0 };
  return {
    slope: mean((step) => (step.logH - centre) * step.density) / spread,
    slopeSigma: 1 / Math.sqrt(total * spread),
  };
}
