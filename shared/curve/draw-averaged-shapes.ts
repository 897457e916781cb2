// The averaged shapes as one curve, with its band and how sure the log exposure is at each share.
import type { Curve, CurveSample, ShareSigma } from "#shared/schema/curve.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import {
  averagedDensities,
  averagedDensity,
  averagedLogH,
  averagedQuantity,
  shapeDensity,
  type AveragedShape,
} from "./average-shapes.ts";
import type { FittedShape } from "./candidate-shapes.ts";
import { toeDensity } from "./curve-points.ts";
import type { CurveStep } from "./curve-step.ts";
import { bandAbout, keptShares, sampledLogH, type Drawn } from "./drawn-curve.ts";

/** An uncertainty of log H beyond this is no knowledge at all. */
const hopelessLogH = 3;
/** The curve of the averaged shapes; where the shoulder falls, its maximum is what the rising steps reach. */
export function drawAveragedShapes(average: AveragedShape, kept: readonly CurveStep[], isReversed: boolean): Drawn {
  const highest = kept[kept.length - 1]!.logH;
  const factor = studentT95(average.degreesOfFreedom);
  const logHs = sampledLogH(kept);
  const samples = averagedDensities(average, logHs).map(({ value, sigma }, i): CurveSample =>
    bandAbout(logHs[i]!, value, factor * sigma),
  );
  // Where the shoulder falls, the curve's maximum is what the rising steps reach, not where the shapes would have gone.
  const netOf = (shape: FittedShape, parameters: readonly number[]) =>
    isReversed ? shapeDensity(shape, parameters, highest) - parameters[0]! : parameters[1]!;
  const topOf = (shape: FittedShape, parameters: readonly number[]) =>
    shape.asRead(parameters, parameters[0]! + netOf(shape, parameters));
  const sigmaAt = (share: (shape: FittedShape, parameters: readonly number[]) => number): number | null => {
    const { sigma } = averagedLogH(average, share);
    return Number.isFinite(sigma) && sigma < hopelessLogH ? sigma : null;
  };
  const reachedNet = (shape: FittedShape, parameters: readonly number[]) =>
    shapeDensity(shape, parameters, highest) - parameters[0]!;
  const knownAt = (share: number, net = netOf): ShareSigma => {
    const { value, sigma, variances } = averagedLogH(
      average,
      (shape, parameters) => (share * net(shape, parameters)) / parameters[1]!,
    );
    if (!(Number.isFinite(sigma) && sigma < hopelessLogH)) return { share, logH: null, sigmaLogH: null };
    return {
      share,
      logH: value > highest ? null : value,
      sigmaLogH: sigma,
      variances: [...variances].map(([source, variance]) => ({ source, variance })),
    };
  };
  const dMin = averagedQuantity(average, (_, parameters) => parameters[0]!).value;
  const family = bestFamily(average);
  const best = average.shapes.find((shape) => shape.model.family === family)!;
  const isNamed = family !== "monotone-smooth";
  const residualSquares = kept.reduce(
    (sum, step) => sum + (step.density - averagedDensity(average, step.logH)) ** 2,
    0,
  );
  return {
    samples,
    dMin,
    dMax: averagedQuantity(average, topOf).value,
    sigmaToeLogH: sigmaAt((_, parameters) => toeDensity / parameters[1]!),
    shareSigmas: keptShares.map((share) => knownAt(share)),
    reachedSigmas: keptShares.map((share) => knownAt(share, reachedNet)),
    named: {
      family,
      parameters: isNamed ? best.parameters : [],
      covariance: isNamed ? best.covariance : [],
      residualDensity: Math.sqrt(residualSquares / Math.max(1, kept.length - best.effectiveParameters)),
      degreesOfFreedom: average.degreesOfFreedom,
    },
  };
}

function bestFamily(average: AveragedShape): Curve["family"] {
  const weights = new Map<Curve["family"], number>();
  for (const shape of average.shapes)
    weights.set(shape.model.family, (weights.get(shape.model.family) ?? 0) + shape.weight);
  return [...weights].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
}
