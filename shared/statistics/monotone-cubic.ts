import { bisection, lastIndexBelow } from "./bisection.ts";

/** A curve through given points that rises or falls only where they do. */
export interface MonotoneCubic {
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** Slope at each point. */
  readonly slopes: readonly number[];
}

/**
 * Piecewise cubic through the points without overshoot.
 * @param x strictly rising, at least two
 * @throws RangeError when x does not rise
 * Source: FritschCarlson1980; starting slopes are the three-point harmonic means of FritschButland1984.
 */
export function monotoneCubic(x: readonly number[], y: readonly number[]): MonotoneCubic {
  const n = x.length;
  if (n < 2 || y.length !== n) throw new RangeError("a monotone cubic needs at least two points, and a y for every x");
  const widths: number[] = [];
  const secants: number[] = [];
  for (let i = 0; i + 1 < n; i++) {
    const width = x[i + 1]! - x[i]!;
    if (!(width > 0)) throw new RangeError(`x must rise: ${x[i]} is followed by ${x[i + 1]}`);
    widths.push(width);
    secants.push((y[i + 1]! - y[i]!) / width);
  }
  const slopes = new Array<number>(n).fill(0);
  slopes[0] = endSlope(widths[0]!, widths[1], secants[0]!, secants[1]);
  slopes[n - 1] = endSlope(widths[n - 2]!, widths[n - 3], secants[n - 2]!, secants[n - 3]);
  for (let i = 1; i + 1 < n; i++) {
    const before = secants[i - 1]!;
    const after = secants[i]!;
    if (before * after <= 0) continue;
    const first = 2 * widths[i]! + widths[i - 1]!;
    const second = widths[i]! + 2 * widths[i - 1]!;
    slopes[i] = (first + second) / (first / before + second / after);
  }
  return { x: [...x], y: [...y], slopes };
}

/** One-sided three-point slope, held to the sign and three times the size of the nearest secant. */
function endSlope(
  width: number,
  nextWidth: number | undefined,
  secant: number,
  nextSecant: number | undefined,
): number {
  if (nextWidth === undefined || nextSecant === undefined) return secant;
  const slope = ((2 * width + nextWidth) * secant - width * nextSecant) / (width + nextWidth);
  if (slope * secant <= 0) return 0;
  return secant * nextSecant <= 0 && Math.abs(slope) > 3 * Math.abs(secant) ? 3 * secant : slope;
}

/**
 * Value of the curve; outside the points it stays at the end value.
 * @param at same unit as the points' x
 */
export function monotoneCubicAt({ x, y, slopes }: MonotoneCubic, at: number): number {
  const last = x.length - 1;
  if (at <= x[0]!) return y[0]!;
  if (at >= x[last]!) return y[last]!;
  const low = lastIndexBelow(x, at);
  const high = low + 1;
  const width = x[high]! - x[low]!;
  const t = (at - x[low]!) / width;
  const u = 1 - t;
  return (
    u * u * (1 + 2 * t) * y[low]! +
    t * u * u * width * slopes[low]! +
    t * t * (3 - 2 * t) * y[high]! -
    t * t * u * width * slopes[high]!
  );
}

/**
 * Place at which a rising curve first reaches a value, by bisection.
 * @returns the end of the curve nearest to it where it does not
 */
export function monotoneCubicInverse(curve: MonotoneCubic, value: number, halvings = 60): number {
  return bisection({
    low: curve.x[0]!,
    high: curve.x[curve.x.length - 1]!,
    isBelow: (at) => monotoneCubicAt(curve, at) < value,
    halvings,
  }).middle;
}
