// One sigmoid shape fitted to weighted steps.
import { levenbergMarquardt, type StopReason } from "#shared/statistics/levenberg-marquardt.ts";
import { sigmoidDensity, type SigmoidParameters } from "./sigmoid.ts";

export interface WeightedStep {
  readonly logH: number;
  readonly density: number;
  /** Standard uncertainty with everything in it: reading, tablet, coating. */
  readonly sigma: number;
}

export interface SigmoidFit {
  readonly family: "symmetric-sigmoid" | "asymmetric-sigmoid";
  readonly parameters: SigmoidParameters;
  /** Covariance when the sigmas are true; null where the steps do not fix every parameter. */
  readonly covariance: readonly (readonly number[])[] | null;
  /** Of the steps alone, without the priors. */
  readonly chiSquared: number;
  /** Akaike's criterion, corrected for few steps; only differences mean anything. */
  readonly aicc: number;
  readonly stopped: StopReason;
  readonly converged: boolean;
}

/** Beforehand: paper that got no light has density zero by definition, as well as it could be measured. */
export interface PaperPrior {
  readonly sigmaDensity: number;
}

/** Richards' exponent is held to a reasonable size by this loose normal prior on its logarithm. */
const sigmaLogExponent = 1.5;

/**
 * Best sigmoid of one family by weighted least squares.
 * @param steps at least as many as parameters
 * @param paper when given, dMin is pulled to zero with that uncertainty
 * Source: Richards1959; criterion HurvichTsai1989.
 */
export function fitSigmoid({ family, steps, starts, paper }: { family: SigmoidFit["family"]; steps: readonly WeightedStep[]; starts: readonly SigmoidParameters[]; paper: PaperPrior | null }): SigmoidFit {
  const residuals = (parameters: readonly number[]): number[] => {
    const list = steps.map((step) => (sigmoidDensity(parameters, step.logH) - step.density) / step.sigma);
    if (family === "asymmetric-sigmoid") list.push(parameters[4]! / sigmaLogExponent);
    if (paper) list.push(parameters[0]! / paper.sigmaDensity);
    // Keeps the net density above zero and the slope finite where a strip is all but blank; silent for any real curve.
    list.push(parameters[1]! > 0.02 ? 0 : (0.02 - parameters[1]!) * 100, Math.max(0, Math.abs(parameters[3]!) - 4) * 10);
    return list;
  };
  const fits = starts.map((start) => levenbergMarquardt({ residuals, start, maxIterations: 200, stepTolerance: 1e-9 }));
  const best = fits.reduce((a, b) => (b.residualSumSquares < a.residualSumSquares ? b : a));
  const chiSquared = steps.reduce((sum, step) => sum + ((sigmoidDensity(best.parameters, step.logH) - step.density) / step.sigma) ** 2, 0);
  return {
    family,
    parameters: best.parameters,
    covariance: best.unscaledCovariance,
    chiSquared,
    aicc: correctedAkaike({ count: steps.length, parameters: best.parameters.length, sumSquares: best.residualSumSquares }),
    stopped: best.stopped,
    converged: best.converged,
  };
}

/**
 * Akaike's information criterion for least squares with unknown scale, corrected for few observations.
 * Source: HurvichTsai1989.
 */
export function correctedAkaike({ count, parameters, sumSquares }: { count: number; parameters: number; sumSquares: number }): number {
  const k = parameters + 1;
  const room = count - k - 1;
  return room <= 0 ? Number.MAX_VALUE : count * Math.log(Math.max(sumSquares, 1e-12) / count) + (2 * k * count) / room;
}

/** Start values drawn from the steps themselves. */
export function startSymmetric(steps: readonly WeightedStep[]): SigmoidParameters[] {
  const densities = steps.map((step) => step.density);
  const low = Math.min(...densities);
  const high = Math.max(...densities);
  const net = Math.max(high - low, 0.02);
  const crossing = (share: number): number => {
    for (let i = 1; i < steps.length; i++) {
      const before = steps[i - 1]!;
      const after = steps[i]!;
      const wanted = low + share * net;
      if (before.density < wanted && after.density >= wanted) return before.logH + ((after.logH - before.logH) * (wanted - before.density)) / (after.density - before.density);
    }
    return steps[steps.length >> 1]!.logH;
  };
  const middle = crossing(0.5);
  const width = Math.max(crossing(0.8) - crossing(0.2), 0.15);
  // A logistic goes from 20 to 80 % in 2.77 / k, and its slope at the middle is k / 4.
  const start = [low, net, middle, Math.log(0.693 / width)];
  const last = steps[steps.length - 1]!.logH;
  return [start, [low, net * 1.6, Math.min(middle + 0.3, last + 0.3), Math.log(0.693 / width) - 0.2]];
}

/** Start values for the asymmetric shape from the symmetric solution. */
export function startAsymmetric(symmetric: SigmoidParameters): SigmoidParameters[] {
  return [-1, 0.7].map((logExponent) => [...symmetric.slice(0, 4), logExponent]);
}
