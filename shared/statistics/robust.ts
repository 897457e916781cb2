// Statistics that one wild value cannot move far.
import { median as medianOf } from "simple-statistics";
import { quartileSigmas } from "./normal-distribution.ts";
import { medianInPlace } from "./value-at-rank.ts";

/**
 * Middle value; the mean of the two middle ones for an even count.
 * @throws RangeError for an empty list
 * @example
 * median([3, 1, 2]) // => 2
 */
export function median(values: ArrayLike<number>): number {
  if (values.length === 0) throw new RangeError("the median of nothing is not defined");
  return medianOf(Array.from(values));
}

/** Makes the median absolute deviation equal to the standard deviation for normal noise. */
const madToSigma = 1 / quartileSigmas;

/**
 * Standard deviation estimated by the median absolute deviation from a centre.
 * @param center median of the values when absent
 * Source: Hampel1974.
 */
export function robustSigma(values: ArrayLike<number>, center = median(values)): number {
  return madToSigma * median(Array.from(values, (value) => Math.abs(value - center)));
}

/**
 * Median and robust standard deviation of many numbers, such as pixels, without sorting them.
 * @param values left as they are; of an even count the upper middle one is taken
 * Source: Hampel1974.
 */
export function middleAndSpread(values: Float32Array | Float64Array): { middle: number; spread: number } {
  const copy = values.slice();
  const middle = medianInPlace(copy);
  for (let i = 0; i < copy.length; i++) copy[i] = Math.abs(values[i]! - middle);
  return { middle, spread: madToSigma * medianInPlace(copy) };
}

/**
 * Values further from the rest than this many robust standard deviations do not belong.
 * Source: IglewiczHoaglin1993.
 */
const farSigmas = 3.5;

/**
 * Which residuals belong together, and which are wild.
 * @param residuals about a fit, in any unit; differences of rounding (1e-9) are never wild
 * @returns true for each that belongs
 * Source: IglewiczHoaglin1993.
 */
export function belonging(residuals: readonly number[]): boolean[] {
  if (residuals.length === 0) return [];
  const most = farSigmas * robustSigma(residuals, 0) + 1e-9;
  return residuals.map((residual) => Math.abs(residual) <= most);
}

/** Efficiency 95 % at the normal distribution. */
const biweightReach = 4.685;

/**
 * Weight (0-1) of a residual in units of its sigma: 1 at zero, falling smoothly to none at 4.685 and beyond.
 * Source: BeatonTukey1974.
 */
export function biweight(standardised: number): number {
  const share = Math.abs(standardised) / biweightReach;
  return share >= 1 ? 0 : (1 - share * share) ** 2;
}

/** Efficiency 95 % at the normal distribution. */
const huberTuning = 1.345;

/**
 * Weight (0-1) of a residual in units of its sigma: 1 near zero, falling as 1/|u| beyond 1.345.
 * Source: Huber1964.
 */
export function huberWeight(standardised: number): number {
  const size = Math.abs(standardised);
  return size <= huberTuning ? 1 : huberTuning / size;
}
