// The fall-back for steps that no sigmoid describes: a smooth curve that only rises, straight from the steps.
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import {
  monotoneCubic,
  monotoneCubicAt,
  monotoneCubicInverse,
  type MonotoneCubic,
} from "#shared/statistics/monotone-cubic.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import type { WeightedStep } from "./candidate-shapes.ts";

export interface MonotoneSmooth {
  readonly curve: MonotoneCubic;
  /** The same steps with their scatter thrown again, for ranges. */
  readonly repeats: readonly MonotoneCubic[];
  /** Measured minus curve, step by step. */
  readonly residuals: readonly number[];
}

const repeatCount = 120;
/** Any number; fixed, so that the same steps always give the same range. */
const repeatSeed = 6846;
/** Neighbouring residuals share their sign in the repeats, so that slow waves of the coating stay slow. */
const stepsPerBlock = 2;
/** Residuals of a curve that follows the steps closely are smaller than the scatter; this makes up for it. */
const closenessFactor = 1.4;

/**
 * A rising smooth curve through the steps.
 * @param steps rising logH, at least three different
 * Source: Barlow1972 after a three-step mean, drawn by FritschCarlson1980; repeats by the wild bootstrap of Wu1986.
 */
export function monotoneSmooth(steps: readonly WeightedStep[]): MonotoneSmooth {
  const curve = risingCurve(steps);
  const fitted = steps.map((step) => monotoneCubicAt(curve, step.logH));
  const residuals = steps.map((step, i) => step.density - fitted[i]!);
  const random = seededRandom(repeatSeed);
  const repeats = Array.from({ length: repeatCount }, () => {
    let sign = 1;
    return risingThrough(
      steps,
      fitted.map((density, i) => {
        if (i % stepsPerBlock === 0) sign = random.uniform() < 0.5 ? -1 : 1;
        return (
          density +
          sign * closenessFactor * Math.hypot(residuals[i]!, steps[i]!.sigma / 2) * Math.sign(residuals[i]! || 1)
        );
      }),
    );
  });
  return { curve, repeats, residuals };
}

/** The curve alone. */
export function risingCurve(steps: readonly WeightedStep[]): MonotoneCubic {
  return risingThrough(
    steps,
    steps.map((step) => step.density),
  );
}

function risingThrough(steps: readonly WeightedStep[], densities: readonly number[]): MonotoneCubic {
  const weights = steps.map((step) => 1 / step.sigma ** 2);
  // Weighted mean of each step with its neighbours; the ends keep their own level with one neighbour's help.
  const mean = densities.map((_, i) => {
    let sum = 0;
    let total = 0;
    for (let k = Math.max(0, i - 1); k <= Math.min(densities.length - 1, i + 1); k++) {
      const weight = weights[k]! * (k === i ? 2 : 1);
      sum += weight * densities[k]!;
      total += weight;
    }
    return sum / total;
  });
  const rising = isotonicRegression(mean, weights);
  const x: number[] = [];
  const y: number[] = [];
  steps.forEach((step, i) => {
    // Steps at one exposure count once.
    if (x.length > 0 && step.logH - x[x.length - 1]! < 1e-9) return;
    x.push(step.logH);
    y.push(rising[i]!);
  });
  return monotoneCubic(x, y);
}

/** Log exposure at which a rising curve first reaches a density; the end nearest to it where it does not. */
export function smoothLogH(curve: MonotoneCubic, density: number): number {
  return monotoneCubicInverse(curve, density, 40);
}
