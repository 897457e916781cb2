// How much blue an exposure makes. These shapes are deliberately not the sigmoids that a reader would fit.

type ResponseShape = "weibull" | "double-normal" | "slow-shoulder";

export interface Response {
  readonly shape: ResponseShape;
  /** Most pigment, as peak spectral density. */
  readonly most: number;
  /** log10 of the seconds, through nothing, that give about two thirds of it. */
  readonly middleLogH: number;
  /** Steepness; about 1 for a coating with a log exposure range of 1.3. */
  readonly steepness: number;
  /** Share of the pigment that heavy over-exposure takes away again; 0 for none. */
  readonly reversalShare: number;
  /** How far above the middle the reversal sets in [log H]. */
  readonly reversalFromLogH: number;
}

/** Pigment [peak spectral density] that a log exposure leaves on the print. */
export function pigmentAt(response: Response, logH: number): number {
  const x = (logH - response.middleLogH) * response.steepness;
  const beyond = logH - response.middleLogH - response.reversalFromLogH;
  const lost =
    response.reversalShare === 0 || beyond <= 0 ? 0 : response.reversalShare * (1 - Math.exp(-((beyond / 0.5) ** 2)));
  return response.most * risingShare(response.shape, x) * (1 - lost);
}

function risingShare(shape: ResponseShape, x: number): number {
  switch (shape) {
    case "weibull":
      return 1 - Math.exp(-(10 ** (1.25 * x)));
    case "double-normal":
      return 0.65 * normalShare(x / 0.32) + 0.35 * normalShare((x + 0.35) / 0.55);
    case "slow-shoulder":
      return 0.8 * (1 - Math.exp(-(10 ** (1.5 * x)))) + 0.2 * normalShare((x - 0.25) / 0.35);
  }
}

/**
 * Share of a normal distribution below z (Abramowitz and Stegun 7.1.26, from memory; error under 2e-7 after the fifth
 * term).
 */
function normalShare(z: number): number {
  const t = 1 / (1 + 0.3275911 * (Math.abs(z) / Math.SQRT2));
  const tail =
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) *
    t *
    Math.exp((-z * z) / 2);
  return z >= 0 ? 1 - tail / 2 : tail / 2;
}
