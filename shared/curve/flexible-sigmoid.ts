// A sigmoid whose log-odds need not be a straight line of log H: the logarithm of their slope may wander, held by what
// is known beforehand. It rises everywhere, has a toe and a shoulder level like the others, and can follow a coating
// that no named sigmoid describes: a slow shoulder (the slope falls), a saturating exponential or a hard corner (it
// grows), two populations.

import { bisection } from "#shared/statistics/bisection.ts";

/** Knots above and below the middle, in units of the logistic's own exponent; beyond the last the slope stays. */
const knots = [1.6, 3.2, 5] as const;
const knotCount = 2 * knots.length;

/** The logistic about which the slope is described: its middle, and its rate (e-folds of the odds per log H). */
export interface SlopeFrame {
  readonly middle: number;
  readonly rate: number;
  /** How the slope is likely to change above the middle, and below it. */
  readonly upward: SlopeHabit;
  readonly downward: SlopeHabit;
}

/**
 * How the logarithm of the slope changes from knot to knot outward, before anything is measured: `mean` plus `follows`
 * times the change before, give or take `deviation`.
 */
export type SlopeHabit = readonly { readonly mean: number; readonly follows: number; readonly deviation: number }[];

/** Found by fitting simulated curves of a dozen families outside these shapes. */
export const slopeHabits = {
  /**
   * The limit is approached as what is left to do runs out, by a steady share for each further log H: the slope comes
   * to rest.
   */
  settling: [
    { mean: 0, follows: 0, deviation: 0.25 },
    { mean: 0.02, follows: 0.4, deviation: 0.1 },
    { mean: 0, follows: 0.2, deviation: 0.05 },
  ],
  /** The curve comes to an end: the slope of the log-odds grows and grows. */
  hastening: [
    { mean: 0.3, follows: 0, deviation: 0.25 },
    { mean: 0.7, follows: 1, deviation: 0.4 },
    { mean: 0.6, follows: 0, deviation: 0.6 },
  ],
} as const satisfies Record<string, SlopeHabit>;

export const slopeCount = knotCount;

/** Log-odds by log exposure for one set of parameters; made once, asked often. */
export type LogOdds = (logH: number) => number;

/**
 * Log-odds of the share by log exposure.
 * @param parameters bottom density, net density, middle, logarithm of the share gained per log H there, then one
 *   whitened change of slope for each knot: upward three, downward three
 */
export function flexibleLogOdds(frame: SlopeFrame, parameters: readonly number[]): LogOdds {
  const up = sideOf(frame.upward, parameters, 4);
  const down = sideOf(frame.downward, parameters, 4 + knots.length);
  const scale = (4 * Math.exp(parameters[3]!)) / frame.rate;
  const at = (logH: number) => {
    const u = frame.rate * (logH - frame.middle);
    return u >= 0 ? integral(up, u) : -integral(down, -u);
  };
  const middle = at(parameters[2]!);
  return (logH) => scale * (at(logH) - middle);
}

/** Log exposure at which the log-odds have a value, by bisection within what any print spans. */
export function flexibleLogH(frame: SlopeFrame, parameters: readonly number[], wanted: number): number {
  const logOdds = flexibleLogOdds(frame, parameters);
  return bisection({
    low: frame.middle - 40 / frame.rate,
    high: frame.middle + 40 / frame.rate,
    isBelow: (logH) => logOdds(logH) < wanted,
    halvings: 40,
  }).middle;
}

/** Logarithm of the slope at each knot of one side, and the log-odds gained up to it. */
interface Side {
  readonly logSlopes: readonly number[];
  readonly gained: readonly number[];
}

function sideOf(habit: SlopeHabit, parameters: readonly number[], first: number): Side {
  const logSlopes = [0];
  const gained = [0];
  let before = 0;
  let change = 0;
  knots.forEach((knot, k) => {
    const { mean, follows, deviation } = habit[k]!;
    change = mean + follows * change + deviation * parameters[first + k]!;
    const start = logSlopes[k]!;
    // Held far outside anything real, so that no trial of the search overflows.
    const end = Math.max(-8, Math.min(8, start + change));
    logSlopes.push(end);
    gained.push(gained[k]! + (knot - before) * meanExponential(start, end));
    before = knot;
  });
  return { logSlopes, gained };
}

function integral({ logSlopes, gained }: Side, u: number): number {
  let k = 0;
  let before = 0;
  while (k < knots.length && u > knots[k]!) before = knots[k++]!;
  const start = logSlopes[k]!;
  if (k === knots.length) return gained[k]! + (u - before) * Math.exp(start);
  const part = (u - before) / (knots[k]! - before);
  return gained[k]! + (u - before) * meanExponential(start, start + part * (logSlopes[k + 1]! - start));
}

/** Mean of e^x while x runs evenly from a to b. */
function meanExponential(a: number, b: number): number {
  const half = (b - a) / 2;
  const shape = Math.abs(half) < 1e-4 ? 1 + (half * half) / 6 : Math.sinh(half) / half;
  return Math.exp((a + b) / 2) * shape;
}
