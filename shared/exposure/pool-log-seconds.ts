// Several tests of one combination, taken together.
import { studentT95 } from "#shared/statistics/student-t.ts";

export interface LogSecondsEstimate {
  /** log10 of seconds. */
  readonly logSeconds: number;
  /** 95 % range. */
  readonly lower: number;
  readonly upper: number;
  readonly sigma: number;
  /** For Student's factor. */
  readonly degreesOfFreedom: number;
}

/** Chance below which the tests' disagreement is called one; z of the normal distribution for a cube-root chi-square. */
const disagreementZ = 2.33;

/**
 * Weighted mean of log times. Where the tests scatter more than their own uncertainties allow, what they have in excess is
 * added to each, so that one very sure test cannot outvote the rest.
 * @param estimates one or more of the same combination; only value, sigma and degrees of freedom are read
 * @throws RangeError when there is none
 * Source: DerSimonianLaird1986 for the scatter between tests; WilsonHilferty1931 for the chi-square's tail.
 */
export function poolLogSeconds(estimates: readonly LogSecondsEstimate[]): { estimate: LogSecondsEstimate; doTestsDisagree: boolean } {
  if (estimates.length === 0) throw new RangeError("poolLogSeconds needs at least one test.");
  const count = estimates.length;
  const weights = estimates.map((each) => 1 / each.sigma ** 2);
  const total = sum(weights);
  const mean = sum(estimates.map((each, i) => weights[i]! * each.logSeconds)) / total;
  const chiSquare = sum(estimates.map((each, i) => weights[i]! * (each.logSeconds - mean) ** 2));
  const excess = count === 1 ? 0 : Math.max(0, (chiSquare - (count - 1)) / (total - sum(weights.map((weight) => weight ** 2)) / total));
  const wider = estimates.map((each) => 1 / (each.sigma ** 2 + excess));
  const widerTotal = sum(wider);
  const logSeconds = sum(estimates.map((each, i) => wider[i]! * each.logSeconds)) / widerTotal;
  const sigma = Math.sqrt(1 / widerTotal);
  const degreesOfFreedom = sum(estimates.map((each) => each.degreesOfFreedom));
  const half = studentT95(degreesOfFreedom) * sigma;
  return {
    estimate: { logSeconds, lower: logSeconds - half, upper: logSeconds + half, sigma, degreesOfFreedom },
    doTestsDisagree: count > 1 && chiSquareZ(chiSquare, count - 1) > disagreementZ,
  };
}

function chiSquareZ(chiSquare: number, degrees: number): number {
  const ninth = 2 / (9 * degrees);
  return (Math.cbrt(chiSquare / degrees) - (1 - ninth)) / Math.sqrt(ninth);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
