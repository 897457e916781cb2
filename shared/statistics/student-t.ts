import { bisection } from "./bisection.ts";
import { rangeSigmas } from "./normal-distribution.ts";

/**
 * Factor by which a standard uncertainty is multiplied for a two-sided 95 % range.
 * @param degreesOfFreedom above 0; large values approach the normal 1.95996
 * @throws RangeError when degreesOfFreedom is not above 0
 * Source: Student1908; computed from the incomplete beta function, DLMF 8.17.22 continued fraction.
 */
export function studentT95(degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 0)) throw new RangeError(`degrees of freedom must be above 0, got ${degreesOfFreedom}`);
  if (degreesOfFreedom > 1e6) return rangeSigmas;
  // In logarithms, since the factor of less than one degree of freedom runs into the thousands.
  const { middle } = bisection({
    low: 0,
    high: Math.log(1e4),
    isBelow: (logT) => twoSidedTail(Math.exp(logT), degreesOfFreedom) > 0.05,
    width: 1e-13,
  });
  return Math.exp(middle);
}

/** A part of a variance, and from how many independent differences it was judged; Infinity where it is known. */
interface JudgedVariance {
  readonly variance: number;
  readonly degreesOfFreedom: number;
}

/**
 * Degrees of freedom of a sum of independent variances, of which some are judged from the data and some are known.
 * @returns Infinity where nothing was judged
 * Source: Satterthwaite1946.
 */
export function effectiveDegrees(parts: readonly JudgedVariance[]): number {
  const total = parts.reduce((sum, { variance }) => sum + variance, 0);
  const judged = parts.reduce((sum, { variance, degreesOfFreedom }) => sum + variance ** 2 / degreesOfFreedom, 0);
  return judged > 0 ? total ** 2 / judged : Infinity;
}

/**
 * Degrees of freedom of a sum of variances that are judged from the same data and go up and down together.
 * @returns Infinity where nothing was judged; never more than those of independent parts
 * Source: Satterthwaite's formula with standard deviations of the variances that add up, as those of wholly correlated
 *   quantities do (JCGM 100:2008, 5.2.2, from memory).
 */
export function degreesTogether(parts: readonly JudgedVariance[]): number {
  const total = parts.reduce((sum, { variance }) => sum + variance, 0);
  const spread = parts.reduce((sum, { variance, degreesOfFreedom }) => sum + variance / Math.sqrt(degreesOfFreedom), 0);
  return spread > 0 ? (total / spread) ** 2 : Infinity;
}

/** Probability that |t| exceeds the given value. */
function twoSidedTail(t: number, degreesOfFreedom: number): number {
  return regularisedBeta(degreesOfFreedom / (degreesOfFreedom + t * t), degreesOfFreedom / 2, 0.5);
}

function regularisedBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - regularisedBeta(1 - x, b, a);
  const front = Math.exp(a * Math.log(x) + b * Math.log(1 - x) - Math.log(a) - logBeta(a, b));
  // Modified Lentz evaluation of the continued fraction.
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let fraction = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    fraction *= d * (Math.abs(c) < tiny ? tiny : c);
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    const change = d * (Math.abs(c) < tiny ? tiny : c);
    fraction *= change;
    if (Math.abs(change - 1) < 1e-15) break;
  }
  return front * fraction;
}

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}

/** Stirling's series after shifting the argument above 10 (DLMF 5.11.1). */
function logGamma(x: number): number {
  let shift = 0;
  let z = x;
  while (z < 10) shift -= Math.log(z++);
  const inverse = 1 / z;
  const square = inverse * inverse;
  const series = inverse * (1 / 12 - square * (1 / 360 - square * (1 / 1260 - square * (1 / 1680 - square / 1188))));
  return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series;
}
