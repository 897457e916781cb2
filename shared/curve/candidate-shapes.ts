// The shapes that a curve is drawn from, each fitted to the same weighted steps.
import type { Curve, RangeSource } from "#shared/schema/curve.ts";
import { choleskyFactor, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { flexibleLogH, flexibleLogOdds, slopeCount, type SlopeFrame } from "./flexible-sigmoid.ts";
import { sigmoidLogH, sigmoidShare } from "./sigmoid.ts";
import { errorModel, noSystematicErrors, type SystematicErrors } from "./systematic-errors.ts";

export interface WeightedStep {
  readonly logH: number;
  readonly density: number;
  /** Standard uncertainty with everything in it: reading, tablet, coating. */
  readonly sigma: number;
  /** Share (0-1) of `sigma` squared that comes from the tablet's tolerance. */
  readonly tabletVarianceShare?: number;
  readonly tabletDensity?: number | null;
  readonly place?: number | null;
}

/**
 * One shape, not yet fitted. All share their first four parameters: bottom, net density, middle, logarithm of the slope
 * there.
 */
export interface ShapeModel {
  readonly family: Curve["family"];
  readonly share: (parameters: readonly number[], logH: number) => number;
  /** The same for many log exposures, where that is quicker. */
  readonly shares?: (parameters: readonly number[]) => (logH: number) => number;
  readonly logHAtShare: (parameters: readonly number[], share: number) => number;
  /** Pseudo-residuals of what is known beforehand, each of unit variance. */
  readonly penalty: (parameters: readonly number[]) => readonly number[];
  /** Parameters beyond the first four. */
  readonly extra: number;
  /** How likely this is to be a coating's true shape, before it is measured: against one flexible shape's 1. */
  readonly common: number;
}

export interface FittedShape {
  readonly model: ShapeModel;
  /** Of the shape; those of the systematic errors follow. */
  readonly parameters: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Standardised residuals of the steps and of all that is known beforehand, and where each row comes from. */
  readonly residuals: (parameters: readonly number[]) => readonly number[];
  readonly sources: readonly RangeSource[];
  /**
   * Where what is known beforehand of the coating's unevenness stands among the residuals, and its error among the
   * parameters.
   */
  readonly coatingRows: readonly { readonly row: number; readonly parameter: number }[];
  /** Density as this test's camera read it, of a density as it was printed. */
  readonly asRead: (parameters: readonly number[], density: number) => number;
  /** Log exposure that a place of the strip received, of what the tablet's label says that it did; and back. */
  readonly trueLogH: (parameters: readonly number[], labelled: number) => number;
  readonly labelledLogH: (parameters: readonly number[], logH: number) => number;
  /** Sum of squared standardised residuals of the steps. */
  readonly chiSquared: number;
  /** Parameters in effect: those that the prior holds count less than one. */
  readonly effectiveParameters: number;
  /** Logarithm of the evidence for this shape; only differences mean anything. */
  readonly logEvidence: number;
}

/**
 * A named sigmoid against a flexible one. No coating is a formula: where the few numbers of one happen to fit a strip
 * its evidence is large, and it leaves no doubt of how the curve goes on. The flexible shapes come as near to it as any
 * strip can tell. Weighed on simulated tests of curves that are neither: from 0.3 down little more is gained.
 */
const namedCommon = 0.3;

/** Richards' exponent is held to a reasonable size by a loose normal prior on its logarithm. */
const sigmaLogExponent = 1.2;

/**
 * Net densities and slopes that no print leaves: below and above these a penalty sets in.
 * Source: common practice, no source.
 */
const leastNet = 0.02;
const mostNet = 3.5;
const steepestLogSlope = 4;
const mostIterations = 60;
/** A covariance beyond this is no knowledge, and its powers overflow. */
const loosestCovariance = 1e60;

export const symmetricSigmoid: ShapeModel = {
  family: "symmetric-sigmoid",
  // Parameters beyond the first four are not the shape's.
  share: (parameters, logH) => 1 / (1 + Math.exp(-4 * Math.exp(parameters[3]!) * (logH - parameters[2]!))),
  logHAtShare: (parameters, share) => sigmoidLogH(parameters.slice(0, 4), share),
  penalty: () => [],
  extra: 0,
  common: namedCommon,
};

export const asymmetricSigmoid: ShapeModel = {
  family: "asymmetric-sigmoid",
  share: sigmoidShare,
  logHAtShare: sigmoidLogH,
  penalty: (parameters) => [parameters[4]! / sigmaLogExponent],
  extra: 1,
  common: namedCommon,
};

/** The sigmoid of wandering slope about a frame. */
export function flexibleSigmoid(frame: SlopeFrame): ShapeModel {
  const shares = (parameters: readonly number[]) => {
    const logOdds = flexibleLogOdds(frame, parameters);
    return (logH: number) => 1 / (1 + Math.exp(-logOdds(logH)));
  };
  return {
    family: "monotone-smooth",
    shares,
    share: (parameters, logH) => shares(parameters)(logH),
    logHAtShare: (parameters, share) => flexibleLogH(frame, parameters, Math.log(share / (1 - share))),
    penalty: (parameters) => parameters.slice(4, 4 + slopeCount),
    extra: slopeCount,
    common: 1,
  };
}

/**
 * The shape's parameters with the highest posterior probability, their covariance, and the evidence for the shape.
 * @param sigmaPaper when given, the bottom density is known beforehand to be zero with that uncertainty
 * @returns null where the steps do not fix the shape
 * Source: Laplace's approximation, MacKay1992.
 */
export function fitShape({
  model,
  steps,
  starts,
  sigmaPaper,
  errors = noSystematicErrors,
}: {
  model: ShapeModel;
  steps: readonly WeightedStep[];
  starts: readonly (readonly number[])[];
  sigmaPaper: number | null;
  errors?: SystematicErrors;
}): FittedShape | null {
  const systematic = errorModel(errors);
  const offset = 4 + model.extra;
  const placed = steps.map(({ tabletDensity = null, place = null }) => ({ tabletDensity, place }));
  const residuals = (parameters: readonly number[]): number[] => {
    const list = new Array<number>(steps.length);
    const bottom = parameters[0]!;
    const net = parameters[1]!;
    const shareOf = model.shares?.(parameters) ?? ((logH: number) => model.share(parameters, logH));
    for (let i = 0; i < steps.length; i++) {
      const step = steps[i]!;
      const density = bottom + net * shareOf(step.logH);
      list[i] = (systematic.readDensity(parameters, offset, density, placed[i]!) - step.density) / step.sigma;
    }
    for (let k = 0; k < systematic.sources.length; k++) list.push(parameters[offset + k]!);
    for (const value of model.penalty(parameters)) list.push(value);
    if (sigmaPaper !== null) list.push(bottom / sigmaPaper);
    // Keep the levels and the slope within reason where a strip shows hardly any curve; silent for any real one.
    list.push(
      net > leastNet ? 0 : (leastNet - net) * 100,
      net < mostNet ? 0 : (net - mostNet) * 10,
      Math.max(0, Math.abs(parameters[3]!) - steepestLogSlope) * 10,
    );
    return list;
  };
  let best: ReturnType<typeof levenbergMarquardt> | null = null;
  for (const start of starts) {
    const fit = levenbergMarquardt({
      residuals,
      start: start.length > offset ? start : [...start, ...systematic.sources.map(() => 0)],
      maxIterations: mostIterations,
      stepTolerance: 1e-5,
      parameterFloor: 1,
    });
    if (Number.isFinite(fit.residualSumSquares) && (best === null || fit.residualSumSquares < best.residualSumSquares))
      best = fit;
  }
  if (best === null || best.unscaledCovariance === null) return null;
  const { parameters, unscaledCovariance: covariance } = best;
  // Steps in a jumbled order can leave a shape so loose that its numbers overflow: then it says nothing.
  if (covariance.some((row) => row.some((value) => !(Math.abs(value) < loosestCovariance)))) return null;
  const all = residuals(parameters);
  let chiSquared = 0;
  for (let i = 0; i < steps.length; i++) chiSquared += all[i]! ** 2;
  let effectiveParameters = 4;
  for (let j = 4; j < offset; j++)
    effectiveParameters +=
      1 - Math.min(1, covariance[j]![j]! / (model.family === "asymmetric-sigmoid" ? sigmaLogExponent ** 2 : 1));
  const factor = choleskyFactor(Float64Array.from(covariance.flat()), covariance.length, { leastPivot: 1e-300 });
  const priorVolume = model.family === "asymmetric-sigmoid" ? Math.log(sigmaLogExponent) : 0;
  return {
    model,
    parameters,
    covariance,
    residuals,
    ...tabletAtFullExposure(steps, (at, tabletDensity) =>
      systematic.lostLogH(at, offset, { tabletDensity, place: null }),
    ),
    asRead: (at, density) => systematic.readDensity(at, offset, density, { tabletDensity: null, place: null }),
    sources: all.map((_, i) => (i < steps.length ? "steps" : (systematic.sources[i - steps.length] ?? "curve-shape"))),
    coatingRows: systematic.sources.flatMap((source, k) =>
      source === "coating-gradient" ? [{ row: steps.length + k, parameter: offset + k }] : [],
    ),
    chiSquared,
    effectiveParameters,
    logEvidence:
      Math.log(model.common) -
      best.residualSumSquares / 2 +
      logDeterminantOf(factor, covariance.length) / 2 -
      priorVolume,
  };
}

/**
 * A tablet that is off as a whole stretches and shifts the log exposures of all steps alike, and any shape fits a
 * stretched strip as well as a true one: the steps tell nothing of it. So shapes are fitted to the labels, and what is
 * asked of them at a true log exposure goes through the tablet.
 */
function tabletAtFullExposure(
  steps: readonly WeightedStep[],
  lostLogH: (parameters: readonly number[], tabletDensity: number) => number,
): Pick<FittedShape, "trueLogH" | "labelledLogH"> {
  const step = steps.find(({ tabletDensity }) => typeof tabletDensity === "number");
  if (step === undefined) return { trueLogH: (_, labelled) => labelled, labelledLogH: (_, logH) => logH };
  const full = step.logH + step.tabletDensity!;
  return {
    trueLogH: (at, labelled) => labelled - lostLogH(at, full - labelled),
    labelledLogH: (at, logH) => {
      const base = lostLogH(at, 0);
      const scale = lostLogH(at, 1) - base;
      return (logH + base + scale * full) / (1 + scale);
    },
  };
}

/** Start values drawn from the steps themselves. */
export function symmetricStarts(steps: readonly WeightedStep[]): number[][] {
  const densities = steps.map((step) => step.density);
  const low = Math.min(...densities);
  const net = Math.max(Math.max(...densities) - low, 0.02);
  const crossing = (share: number): number => {
    const wanted = low + share * net;
    for (let i = 1; i < steps.length; i++) {
      const before = steps[i - 1]!;
      const after = steps[i]!;
      if (before.density < wanted && after.density >= wanted)
        return (
          before.logH + ((after.logH - before.logH) * (wanted - before.density)) / (after.density - before.density)
        );
    }
    return steps[steps.length >> 1]!.logH;
  };
  const middle = crossing(0.5);
  const width = Math.max(crossing(0.8) - crossing(0.2), 0.15);
  // A logistic goes from 20 to 80 % in 2.77 / rate, and its slope at the middle is rate / 4.
  const logSlope = Math.log(0.693 / width);
  const last = steps[steps.length - 1]!.logH;
  return [
    [low, net, middle, logSlope],
    [low, net * 1.6, Math.min(middle + 0.3, last + 0.3), logSlope - 0.2],
  ];
}
