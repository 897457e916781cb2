// Two sigmoid shapes for density against log exposure, described by the same words: the two levels, where the middle
// lies, how steep it is there, and (for the asymmetric one) how the toe and the shoulder differ.

/**
 * Parameters in this order: density at the bottom, net density, logH at half of the net density, natural logarithm of
 * the share gained per log H at that point, and, for the asymmetric shape only, the natural logarithm of Richards'
 * exponent (0 is symmetric, below 0 the shoulder is the sharper bend, above 0 the toe).
 */
export type SigmoidParameters = readonly number[];

interface Slopes {
  /** Richards' exponent. */
  readonly exponent: number;
  /** Rate of the exponential. */
  readonly rate: number;
  /** Natural logarithm of the factor that puts half of the net density at the middle. */
  readonly logFactor: number;
}

function slopesOf(parameters: SigmoidParameters): Slopes {
  const exponent = Math.exp(parameters[4] ?? 0);
  // 1 - 2^(-1/exponent), exact for large exponents too.
  const bend = -Math.expm1(-Math.LN2 / exponent);
  return {
    exponent,
    rate: (2 * Math.exp(parameters[3]!)) / (exponent * bend),
    logFactor: Math.log(bend) + Math.LN2 / exponent,
  };
}

/** ln(1 + e^z) without overflow. */
function softplus(z: number): number {
  return z > 0 ? z + Math.log1p(Math.exp(-z)) : Math.log1p(Math.exp(z));
}

/**
 * Share (0-1) of the net density reached at a log exposure.
 * Source: Verhulst1838 (logistic) and Richards1959 (asymmetric), rewritten with the middle and its slope as parameters.
 */
export function sigmoidShare(parameters: SigmoidParameters, logH: number): number {
  const { exponent, rate, logFactor } = slopesOf(parameters);
  return Math.exp(-exponent * softplus(logFactor - rate * (logH - parameters[2]!)));
}

/** Density of the sigmoid at a log exposure. */
export function sigmoidDensity(parameters: SigmoidParameters, logH: number): number {
  return parameters[0]! + parameters[1]! * sigmoidShare(parameters, logH);
}

/**
 * Log exposure at which the sigmoid reaches a share of its net density.
 * @param share strictly between 0 and 1
 * @throws RangeError for a share that no finite exposure reaches
 */
export function sigmoidLogH(parameters: SigmoidParameters, share: number): number {
  if (!(share > 0 && share < 1)) throw new RangeError(`a sigmoid reaches shares between 0 and 1 only, not ${share}`);
  const { exponent, rate, logFactor } = slopesOf(parameters);
  const z = Math.log(Math.expm1(-Math.log(share) / exponent));
  return parameters[2]! + (logFactor - z) / rate;
}
