import { lastIndexBelow } from "./bisection.ts";

/** A twice smooth curve through given points, straight at its ends. */
export interface NaturalCubic {
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** Second derivative at each point. */
  readonly bends: readonly number[];
}

/**
 * Natural cubic spline: the smoothest curve through the points in the sense of least squared second derivative. It may
 * overshoot between points that lie steeply beside each other.
 * @param x strictly rising, at least two
 * @throws RangeError when x does not rise
 * Source: textbook; the tridiagonal equations of continuous slopes with no bend at the ends, solved by elimination.
 */
export function naturalCubic(x: readonly number[], y: readonly number[]): NaturalCubic {
  const n = x.length;
  if (n < 2 || y.length !== n) throw new RangeError("a natural cubic needs at least two points, and a y for every x");
  if (x.some((each, index) => index > 0 && !(each > x[index - 1]!))) throw new RangeError("x must rise");
  const bends = new Array<number>(n).fill(0);
  const carried = new Array<number>(n).fill(0);
  for (let i = 1; i + 1 < n; i++) {
    const before = x[i]! - x[i - 1]!;
    const after = x[i + 1]! - x[i]!;
    const turn = 6 * ((y[i + 1]! - y[i]!) / after - (y[i]! - y[i - 1]!) / before);
    const pivot = 2 * (before + after) - before * carried[i - 1]!;
    carried[i] = after / pivot;
    bends[i] = (turn - before * bends[i - 1]!) / pivot;
  }
  for (let i = n - 2; i > 0; i--) bends[i]! -= carried[i]! * bends[i + 1]!;
  return { x: [...x], y: [...y], bends };
}

/** Value of the curve; outside the points it stays at the end value. @param at same unit as the points' x */
export function naturalCubicAt({ x, y, bends }: NaturalCubic, at: number): number {
  const last = x.length - 1;
  if (at <= x[0]!) return y[0]!;
  if (at >= x[last]!) return y[last]!;
  const low = lastIndexBelow(x, at);
  const width = x[low + 1]! - x[low]!;
  const right = (at - x[low]!) / width;
  const left = 1 - right;
  return (
    left * y[low]! +
    right * y[low + 1]! +
    ((left ** 3 - left) * bends[low]! + (right ** 3 - right) * bends[low + 1]!) * (width ** 2 / 6)
  );
}
