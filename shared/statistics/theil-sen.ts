// A straight trend that up to a quarter of wild points cannot bend.
import { medianSorted } from "simple-statistics";
import { rangeSigmas } from "./normal-distribution.ts";
import { median } from "./robust.ts";

export interface RobustTrend {
  /** Change of y per unit of x: the median of the slopes between all pairs. */
  readonly slope: number;
  /** Median of what is left of y at x = 0. */
  readonly intercept: number;
  /** 95 % range of the slope, from the distribution of Kendall's tau with ties. */
  readonly lowerSlope: number;
  readonly upperSlope: number;
}

/**
 * Between two ranks the range ends by so much of a rank further in than the count of slopes alone would have it, since
 * slopes lie the further apart the further out: drawn trends of 5 to 20 points with normal errors then hold 93.7 to 96
 * of 100. Source: common practice, no source (drawn trends).
 */
const furtherIn = 0.25;

/**
 * Robust straight trend of y over x.
 * @param ranks of the slopes that bound the range: "whole" ones, as published, hold 97 to 99 of 100 where five to seven
 *   points are given; "between" two of them, by straight line, 94 to 96
 * @returns null when fewer than two different x are given, and no slope exists
 * @throws RangeError when the lists differ in length
 * Source: Theil1950; Sen1968 equation 2.6 for the range.
 */
export function theilSenTrend(
  x: readonly number[],
  y: readonly number[],
  ranks: "whole" | "between" = "whole",
): RobustTrend | null {
  if (x.length !== y.length) throw new RangeError(`a trend needs as many x as y, got ${x.length} and ${y.length}`);
  const slopes: number[] = [];
  for (let i = 0; i < x.length; i++) {
    for (let j = i + 1; j < x.length; j++) {
      if (x[i] !== x[j]) slopes.push((y[j]! - y[i]!) / (x[j]! - x[i]!));
    }
  }
  if (slopes.length === 0) return null;
  slopes.sort((a, b) => a - b);
  // Not the regression package's own: of an even number of slopes it takes the lower middle one, not the mean of both.
  const slope = medianSorted(slopes);
  const intercept = median(y.map((value, i) => value - slope * x[i]!));
  const count = y.length;
  const variance = (kendallTerm(count) - tieTerm(x) - tieTerm(y)) / 18;
  const half = rangeSigmas * Math.sqrt(Math.max(0, variance));
  if (ranks === "between") {
    const low = (slopes.length - half - 1) / 2 + furtherIn;
    const high = slopes.length - 1 - low;
    return { slope, intercept, lowerSlope: betweenRanks(slopes, low), upperSlope: betweenRanks(slopes, high) };
  }
  const upperIndex = Math.min(roundHalfToEven((slopes.length + half) / 2), slopes.length - 1);
  const lowerIndex = Math.max(roundHalfToEven((slopes.length - half) / 2) - 1, 0);
  return { slope, intercept, lowerSlope: slopes[lowerIndex]!, upperSlope: slopes[upperIndex]! };
}

/** Value of a sorted list at a place between two of its numbers, counted from 0. */
function betweenRanks(sorted: readonly number[], place: number): number {
  const held = Math.min(sorted.length - 1, Math.max(0, place));
  const below = sorted[Math.floor(held)]!;
  return below + (held - Math.floor(held)) * (sorted[Math.ceil(held)]! - below);
}

function kendallTerm(n: number): number {
  return n * (n - 1) * (2 * n + 5);
}

function tieTerm(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, count) => sum + kendallTerm(count), 0);
}

function roundHalfToEven(value: number): number {
  const below = Math.floor(value);
  if (value - below !== 0.5) return Math.round(value);
  return below % 2 === 0 ? below : below + 1;
}
