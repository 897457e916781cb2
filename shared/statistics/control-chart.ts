// A control chart of single values: is the newest one still part of the same story?

/** Mean range of two normal values in standard deviations (d2 for n = 2). Source: nist-handbook, 6.3.2. */
export const meanRangeOfTwo = 1.128;

/** Values in a row on one side of the centre that count as a shift. Source: nist-handbook, 6.3.2 (run rules). */
export const runLength = 8;

export interface ControlChart {
  readonly centre: number;
  /** Standard deviation from the mean moving range, or the stated one when that is larger. */
  readonly sd: number;
  /** Centre -3 sd and +3 sd. */
  readonly lower: number;
  readonly upper: number;
  /** What the newest values show out of the ordinary; null when nothing. */
  readonly signal: "beyond-limits" | "two-of-three" | "run" | null;
}

/**
 * Individuals control chart by moving ranges.
 * @param values oldest first; at least 2
 * @param options.leastSd standard deviation known from elsewhere (measurement alone); the chart never claims less
 * @param options.baseline how many of the oldest values set centre and spread; all by default
 * @returns centre, spread, limits and the first of the usual signals that the newest values raise
 * @throws RangeError with fewer than 2 values
 * Source: nist-handbook, 6.3.2.2 (individuals control charts)
 */
export function controlChart(
  values: readonly number[],
  { leastSd = 0, baseline = values.length }: { leastSd?: number; baseline?: number } = {},
): ControlChart {
  const base = values.slice(0, Math.max(2, baseline));
  if (base.length < 2) throw new RangeError("A control chart needs at least 2 values.");
  const centre = base.reduce((sum, value) => sum + value, 0) / base.length;
  const ranges = base.slice(1).map((value, index) => Math.abs(value - (base[index] ?? value)));
  const sd = Math.max(ranges.reduce((sum, range) => sum + range, 0) / ranges.length / meanRangeOfTwo, leastSd);
  return { centre, sd, lower: centre - 3 * sd, upper: centre + 3 * sd, signal: signalOf(values, centre, sd) };
}

function signalOf(values: readonly number[], centre: number, sd: number): ControlChart["signal"] {
  const deviations = values.map((value) => value - centre);
  const newest = deviations.at(-1) ?? 0;
  if (Math.abs(newest) > 3 * sd) return "beyond-limits";
  // Both rules look at one side only: signs are turned so that the newest value counts as above.
  const towards = deviations.map((deviation) => deviation * Math.sign(newest));
  const lastThree = towards.slice(-3);
  if (
    lastThree.length === 3 &&
    Math.abs(newest) > 2 * sd &&
    lastThree.filter((deviation) => deviation > 2 * sd).length >= 2
  )
    return "two-of-three";
  const lastRun = towards.slice(-runLength);
  return lastRun.length === runLength && lastRun.every((deviation) => deviation > 0) ? "run" : null;
}
