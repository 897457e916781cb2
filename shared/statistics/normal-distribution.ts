// The normal distribution. What the statistics package gives is used where it is exact enough:
// - `errorFunction` is good to 1.2e-7 of its complement and is used here;
// - `cumulativeStdNormalProbability` reads a table in steps of 0.01 and is off by up to 0.002: not used;
// - `probit` is off by up to 0.011 standard deviations at 0.0005, more beyond: not used;
// - `linearRegression` gives no uncertainties: `linear-least-squares.ts` does;
// - `median` copies and sorts any list, `medianSorted` trusts that it is sorted; both take the mean of two middle
//   values.
import { errorFunction } from "simple-statistics";

/**
 * A 95 % range of the normal distribution reaches this many standard uncertainties to each side.
 * Source: AbramowitzStegun1964, 26.2.
 */
export const rangeSigmas = 1.959963984540054;

/**
 * The quartiles of the normal distribution lie this many standard deviations from its middle.
 * Source: AbramowitzStegun1964, 26.2.
 */
export const quartileSigmas = 0.6744897501960817;

/**
 * Error function: share of a normal distribution within x times the square root of 2 standard deviations of its middle.
 * @returns -1 to 1, error below 1.2e-7
 * Source: AbramowitzStegun1964, 7.1.
 */
export function errorFunctionAt(x: number): number {
  return x === 0 ? 0 : errorFunction(x);
}

/**
 * Share of the standard normal distribution below z.
 * @returns 0-1, error below 6e-8
 * Source: AbramowitzStegun1964, 26.2.29.
 * @example
 * normalShareBelow(0) // => 0.5
 */
export function normalShareBelow(z: number): number {
  return (1 + errorFunctionAt(z / Math.SQRT2)) / 2;
}

/** Density of the standard normal distribution at z. Source: AbramowitzStegun1964, 26.2.1. */
export function normalDensityAt(z: number): number {
  return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
}
