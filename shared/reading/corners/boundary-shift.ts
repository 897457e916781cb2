// Small corrections of the step boundaries: cloth stretches and film curls, so steps are not quite evenly spaced.
import { bisection } from "#shared/statistics/bisection.ts";
import { median, robustSigma } from "#shared/statistics/robust.ts";
import { choleskyFactor, choleskySolve } from "#shared/statistics/cholesky.ts";
import { errorFunctionAt } from "#shared/statistics/normal-distribution.ts";

/** The tone across one boundary, from a little before it to a little after. */
export interface BoundaryProfile {
  /** Boundary number, 1 to steps - 1. */
  readonly k: number;
  /** Natural logarithm of red light in evenly spaced bins; NaN where there were no pixels. */
  readonly logLight: readonly number[];
  /** The bins reach this far to each side, in steps. */
  readonly reach: number;
}

/** Boundaries never move further than this, in steps: a third of a step can never become a whole one. */
export const mostShiftSteps = 0.33;
/** Boundaries are this far from even on ordinary material, in steps. Source: common practice, no source. */
const usualShiftSteps = 0.12;
/** How far the correction of one boundary speaks for its neighbours, in steps. */
const neighbourhoodSteps = 3;
/** A change (natural logarithm) below this multiple of the noise within the steps is not a boundary. */
const clearContrast = 4;
/** ... nor one below this at all. */
const leastContrast = 0.04;

interface Seen {
  readonly k: number;
  readonly shift: number;
  readonly sigma: number;
}

/** Where the tone changes most in a profile, in steps from its middle; null when nothing stands out. */
function seenShift({ k, logLight, reach }: BoundaryProfile): Seen | null {
  const count = logLight.length;
  const half = Math.max(2, Math.round((0.22 / (2 * reach)) * count));
  if (count < 2 * half + 3 || logLight.some((value) => !Number.isFinite(value))) return null;
  const sums = [0];
  for (const value of logLight) sums.push(sums.at(-1)! + value);
  const change = (i: number) => (sums[i + half]! - 2 * sums[i]! + sums[i - half]!) / half;
  let best = half;
  for (let i = half; i + half <= count; i++) if (Math.abs(change(i)) > Math.abs(change(best))) best = i;
  if (best <= half || best + half >= count) return null;
  // Noise: neighbouring bins well inside the steps.
  const differences = logLight.slice(1).map((value, i) => value - logLight[i]!);
  const noise = robustSigma(differences, 0) / Math.SQRT2;
  const contrast = Math.abs(change(best));
  if (contrast < Math.max(leastContrast, (clearContrast * noise) / Math.sqrt(half))) return null;
  const [l, c, r] = [Math.abs(change(best - 1)), contrast, Math.abs(change(best + 1))];
  const curve = l - 2 * c + r;
  const fraction = curve < 0 ? Math.min(Math.max((0.5 * (l - r)) / curve, -0.5), 0.5) : 0;
  return {
    k,
    shift: ((best + fraction) / count - 0.5) * 2 * reach,
    sigma: Math.min(0.15, 0.02 + (0.15 * noise) / contrast),
  };
}

/**
 * How far every boundary is moved: smooth along the strip, held to what is usual, and never by more than a third of a
 * step.
 * @param profiles the tone across boundaries, as many as could be looked at
 * @param steps number of steps
 * @returns one shift for each boundary 0 to steps, in steps; all 0 when the grid fits
 * Source: common practice, no source (kriging with a Gaussian neighbourhood)
 */
export function boundaryShifts(profiles: readonly BoundaryProfile[], steps: number): number[] {
  let seen = profiles.map(seenShift).filter((one) => one !== null);
  const none = Array.from({ length: steps + 1 }, () => 0);
  if (seen.length < 3) return none;
  const kernel = (a: number, b: number) =>
    usualShiftSteps ** 2 * (Math.exp(-0.5 * ((a - b) / neighbourhoodSteps) ** 2) + 0.3);
  const predicted = (from: readonly Seen[]) => {
    const covariance = from.flatMap((p) => from.map((q) => kernel(p.k, q.k) + (p === q ? p.sigma ** 2 : 0)));
    const factor = choleskyFactor(Float64Array.from(covariance), from.length, { leastPivot: 1e-12 });
    const shifts = from.map((p) => p.shift);
    const weights = choleskySolve(factor, shifts);
    return (k: number) => from.reduce((sum, p, i) => sum + weights[i]! * kernel(k, p.k), 0);
  };
  // Boundaries that disagree with their neighbours (a hair, a streak) are dropped, worst first.
  for (let round = 0; round < 6 && seen.length > 3; round++) {
    const misfits = seen.map((one) => {
      const at = predicted(seen.filter((other) => other !== one));
      return Math.abs(one.shift - at(one.k)) / Math.hypot(one.sigma, 0.06);
    });
    const worst = misfits.indexOf(Math.max(...misfits));
    if (misfits[worst]! < 3) break;
    seen = seen.filter((_, i) => i !== worst);
  }
  const at = predicted(seen);
  return none.map((_, k) => Math.min(Math.max(at(k), -mostShiftSteps), mostShiftSteps));
}

/**
 * Softness of the boundaries: the standard deviation of the blur, in steps, from how much of each change happens close
 * to the boundary.
 * @returns middle value over clear boundaries; null with fewer than three of them
 * Source: common practice, no source (Gaussian edge)
 */
export function blurOfBoundaries(profiles: readonly BoundaryProfile[]): number | null {
  const softness = profiles.flatMap((profile) => {
    const seen = seenShift(profile);
    if (seen === null || Math.abs(seen.shift) > 0.2) return [];
    const { logLight, reach } = profile;
    const binSteps = (2 * reach) / logLight.length;
    const at = Math.round((seen.shift / (2 * reach) + 0.5) * logLight.length);
    const change = (half: number) => {
      const mean = (from: number, to: number) =>
        logLight.slice(from, to).reduce((sum, value) => sum + value, 0) / (to - from);
      return Math.abs(mean(at, at + half) - mean(at - half, at));
    };
    const [near, far] = [Math.max(2, Math.round(0.09 / binSteps)), Math.round(0.24 / binSteps)];
    if (at - far < 0 || at + far > logLight.length || change(far) < 0.08) return [];
    const ratio = change(near) / change(far);
    const isSharper = (blur: number) => edgeChange(near * binSteps, blur) / edgeChange(far * binSteps, blur) > ratio;
    return [bisection({ low: 0.001, high: 1, isBelow: isSharper, halvings: 30 }).low];
  });
  return softness.length < 3 ? null : median(softness);
}

/** Mean of a blurred edge over a width on one side minus the other, as a share of the edge. */
function edgeChange(width: number, sigma: number): number {
  const steps = 20;
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += errorFunctionAt((((i + 0.5) / steps) * width) / (sigma * Math.SQRT2));
  return sum / steps;
}
