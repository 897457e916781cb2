// A sigmoid whose log-odds are not a straight line of log H but may bend, held to gentle bends by a prior. It rises
// everywhere, has a toe and a shoulder level like the others, and can follow a coating that no named sigmoid describes.

/** Where the bending is described, in units of the logistic's own exponent: from 0.25 % to 99.75 % of the net density. */
const knots = [-6, -4, -2, 0, 2, 4, 6] as const;
const knotDistance = 2;
/** Neighbouring bends are alike: correlation from one knot to the next. */
const bendCorrelation = 0.8;
/** Least slope of the log-odds, as a share of the logistic's; below it a penalty sets in, so that the curve never falls. */
const leastSlope = 0.05;

/** The logistic about which bends are measured: its middle, and its rate (e-folds of the odds per log H). */
export interface BendFrame {
  readonly middle: number;
  readonly rate: number;
  /** Standard deviation of the second derivative of the log-odds, in the frame's own units. */
  readonly bend: number;
  /** Second derivative expected beforehand at one unit above the middle; it grows in proportion on both sides. */
  readonly meanBend: number;
}

/** Contribution of each knot's bend to the log-odds at one log exposure: value and slope are zero at the middle. */
export function bendBasis(frame: BendFrame, logH: number): Float64Array {
  const u = frame.rate * (logH - frame.middle);
  return Float64Array.from(
    knots,
    (knot) => hatTwiceIntegrated(u - knot) - hatTwiceIntegrated(-knot) - u * hatOnceIntegrated(-knot),
  );
}

/** Second derivative at each knot from the whitened parameters (position 4 onward), which have unit variance beforehand. */
function bends(frame: BendFrame, parameters: readonly number[]): number[] {
  const fresh = Math.sqrt(1 - bendCorrelation ** 2);
  let before = 0;
  return knots.map((knot, j) => {
    before = j === 0 ? parameters[4]! : bendCorrelation * before + fresh * parameters[4 + j]!;
    return before * frame.bend + frame.meanBend * knot;
  });
}

/**
 * Share (0-1) of the net density.
 * @param parameters bottom density, net density, middle, logarithm of the slope there, then one whitened bend for each knot
 * @param basis of the log exposure asked for
 */
export function flexibleShare(
  frame: BendFrame,
  parameters: readonly number[],
  logH: number,
  basis: Float64Array,
): number {
  return 1 / (1 + Math.exp(-flexibleLogOdds(frame, parameters, logH, basis)));
}

export function flexibleLogOdds(
  frame: BendFrame,
  parameters: readonly number[],
  logH: number,
  basis: Float64Array,
): number {
  let eta = 4 * Math.exp(parameters[3]!) * (logH - parameters[2]!);
  const fresh = Math.sqrt(1 - bendCorrelation ** 2);
  let before = 0;
  for (let j = 0; j < knots.length; j++) {
    before = j === 0 ? parameters[4]! : bendCorrelation * before + fresh * parameters[4 + j]!;
    eta += (frame.bend * before + frame.meanBend * knots[j]!) * basis[j]!;
  }
  return eta;
}

/** Pseudo-residuals of the prior: one for each bend, and one for each place where the log-odds would hardly rise. */
export function flexiblePenalty(frame: BendFrame, parameters: readonly number[]): number[] {
  const slope = (4 * Math.exp(parameters[3]!)) / frame.rate;
  const second = bends(frame, parameters);
  const list = parameters.slice(4, 4 + knots.length);
  for (const weights of slopeWeights) {
    let rise = slope;
    for (let j = 0; j < knots.length; j++) rise += second[j]! * weights[j]!;
    list.push(rise < leastSlope ? 30 * (leastSlope - rise) : 0);
  }
  return list;
}

export const bendCount = knots.length;

/** What each knot's bend adds to the slope half-way between the knots and just outside them. */
const slopeWeights = [-7, -5, -3, -1, 1, 3, 5, 7].map((u) =>
  knots.map((knot) => hatOnceIntegrated(u - knot) - hatOnceIntegrated(-knot)),
);

function cubed(z: number): number {
  return z > 0 ? z * z * z : 0;
}

function squared(z: number): number {
  return z > 0 ? z * z : 0;
}

function hatTwiceIntegrated(z: number): number {
  return (cubed(z + knotDistance) - 2 * cubed(z) + cubed(z - knotDistance)) / (6 * knotDistance);
}

function hatOnceIntegrated(z: number): number {
  return (squared(z + knotDistance) - 2 * squared(z) + squared(z - knotDistance)) / (2 * knotDistance);
}
