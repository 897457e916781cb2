// Statistics that one wild value cannot move far.
import { quartileSigmas } from "./normal-distribution.ts";

/**
 * Middle value; the mean of the two middle ones for an even count.
 * @throws RangeError for an empty list
 * @example
 * median([3, 1, 2]) // => 2
 */
export function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError("the median of nothing is not defined");
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** Makes the median absolute deviation equal to the standard deviation for normal noise. */
const madToSigma = 1 / quartileSigmas;

/**
 * Standard deviation estimated by the median absolute deviation from a centre.
 * @param center median of the values when absent
 * Source: Hampel1974.
 */
export function robustSigma(values: readonly number[], center = median(values)): number {
  return madToSigma * median(values.map((value) => Math.abs(value - center)));
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
