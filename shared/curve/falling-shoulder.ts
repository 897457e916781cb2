// Over-exposure reversal: beyond some exposure the print bronzes and loses density again.
import { robustSigma, median } from "#shared/statistics/robust.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import type { CurveStep } from "./curve-step.ts";

/** A fall smaller than this is not worth a word, whatever its significance. */
const smallestFallDensity = 0.04;
const smallestFallShare = 0.03;
/** Standard errors by which the fall must exceed chance; high, because the peak is picked from the same noisy steps. */
const fallSignificance = 4;
/** No step is known better than this, whatever a reading says; density. */
const leastSigma = 0.001;

/**
 * Position in the list after which densities fall though exposure rises; null when they do not.
 * At least two steps must lie beyond the peak: one alone is a wild step, not a fall.
 * @param steps rising logH
 * @returns index of the last step that still belongs to the rise
 * Source: common practice, no source.
 */
export function lastRisingStep(steps: readonly CurveStep[]): number | null {
  const n = steps.length;
  if (n < 5) return null;
  const smooth = steps.map((step, i) =>
    i === 0 || i === n - 1 ? step.density : median([steps[i - 1]!.density, step.density, steps[i + 1]!.density]),
  );
  let peak = 1;
  for (let i = 1; i < n - 1; i++) if (smooth[i]! > smooth[peak]!) peak = i;
  if (n - 1 - peak < 2) return null;
  // A running median can sit one place off the true peak; take the highest raw step beside it that is not wild.
  const scatter = stepScatter(steps);
  const after = steps.slice(peak);
  const sigmas = after.map((step) => Math.max(Math.hypot(step.sigma, scatter), leastSigma));
  if (after[after.length - 1]!.logH - after[0]!.logH < 1e-6) return null;
  const ends = [n - 2, n - 1].map((i) => smooth[peak]! - steps[i]!.density);
  const range = smooth[peak]! - Math.min(...smooth);
  if (Math.min(...ends) < Math.max(smallestFallDensity / 2, smallestFallShare * range * 0.5)) return null;
  const line = linearLeastSquares({
    design: after.map((step) => [1, step.logH]),
    response: after.map((step) => step.density),
    sigma: sigmas,
  });
  const slope = line.coefficients[1]!;
  const fall = -slope * (after[after.length - 1]!.logH - after[0]!.logH);
  const significance = -slope / Math.sqrt(line.unscaledCovariance[1]![1]!);
  return fall > Math.max(smallestFallDensity, smallestFallShare * range) && significance > fallSignificance
    ? peak
    : null;
}

/** Scatter of single steps about their neighbours: second differences, robustly, so that bends hardly count. */
export function stepScatter(steps: readonly CurveStep[]): number {
  const seconds: number[] = [];
  for (let i = 1; i + 1 < steps.length; i++) {
    const before = steps[i - 1]!;
    const here = steps[i]!;
    const after = steps[i + 1]!;
    const share = (here.logH - before.logH) / (after.logH - before.logH || 1);
    const expected = before.density * (1 - share) + after.density * share;
    seconds.push((here.density - expected) / Math.sqrt(1 + share * share + (1 - share) * (1 - share)));
  }
  return seconds.length < 3 ? 0 : robustSigma(seconds, 0);
}
