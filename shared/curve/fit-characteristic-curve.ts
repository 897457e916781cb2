// From measured steps to the characteristic curve: what is left out, which shape, how sure.
import { shoulderShare } from "#shared/limits.ts";
import type { Channel, Curve, CurveSample, RangeSource, ShareSigma } from "#shared/schema/curve.ts";
import { monotoneCubicAt, type MonotoneCubic } from "#shared/statistics/monotone-cubic.ts";
import { fewRunsProbability } from "#shared/statistics/runs-test.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import {
  averagedDensity,
  averagedLogH,
  averagedQuantity,
  averageShapes,
  readShapeDensity,
  shapeDensity,
  type AveragedShape,
} from "./average-shapes.ts";
import {
  asymmetricSigmoid,
  fitShape,
  symmetricStarts,
  type FittedShape,
  type WeightedStep,
} from "./candidate-shapes.ts";
import { curvePoints, toeDensity } from "./curve-points.ts";
import type { CurveStep, LeftOut } from "./curve-step.ts";
import { lastRisingStep, stepScatter } from "./falling-shoulder.ts";
import { monotoneSmooth, smoothLogH } from "./monotone-smooth.ts";
import { noSystematicErrors, type SystematicErrors } from "./systematic-errors.ts";
import { wildSteps } from "./wild-steps.ts";

/** Fewer usable steps than this cannot show a curve and its scatter. */
export const fewestUsableSteps = 5;
/** How well density zero of unexposed paper is known where the steps themselves do not show it. */
const sigmaPaper = 0.02;
/** Points of the drawn curve. */
const sampleCount = 161;
/** Shares at which the uncertainty of the log exposure is kept. */
const keptShares = [0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.925, 0.95, 0.97, 0.985, 0.99] as const;
/**
 * The shape leaves more open than its linear uncertainty tells: with eleven steps the range would be a tenth too
 * narrow, with twenty-one or more a twenty-fifth. Tuned on simulated tests.
 */
const coarseFactor = 1.1;
const fineFactor = 1.04;
const coarseSteps = 11;
const fineSteps = 21;

/**
 * Residual runs this unlikely, with residuals this many times the local scatter, mean that no sigmoid describes the
 * steps.
 */
const fewRunsLimit = 0.05;
const misfitFactor = 1.7;

/** An uncertainty of log H beyond this is no knowledge at all. */
const hopelessLogH = 3;
/**
 * Half width beyond which a density band says nothing more: no film or print is denser than 6 (common practice, no
 * source).
 */
const widestHalfBand = 6;

/**
 * The characteristic curve through the steps of one test.
 * @param channel which density the steps carry
 * @param steps any order
 * @returns null when fewer than five steps are usable, or no shape can be fixed by them
 * Source: shapes Verhulst1838, Richards1959 and flexible-sigmoid.ts, averaged as HoetingEtAl1999; points Iso6846.
 */
export function fitCharacteristicCurve({
  channel,
  steps,
  errors = noSystematicErrors,
}: {
  channel: Channel;
  steps: readonly CurveStep[];
  errors?: SystematicErrors;
}): Curve | null {
  const sorted = [...steps].sort((a, b) => a.logH - b.logH || a.index - b.index);
  const leftOut = new Map<number, LeftOut>();
  for (const step of sorted) if (step.isFlagged) leftOut.set(step.index, "flagged");
  const usable = () => sorted.filter((step) => !leftOut.has(step.index));

  const beforeFall = usable();
  const peak = lastRisingStep(beforeFall);
  if (peak !== null) for (const step of beforeFall.slice(peak + 1)) leftOut.set(step.index, "reversal");
  const rising = usable();
  if (!isEnough(rising)) return null;
  for (const position of wildSteps(withTolerance(rising, roughSlope(rising))))
    leftOut.set(rising[position]!.index, "wild");
  const kept = usable();
  if (!isEnough(kept)) return null;

  const weighted = withTolerance(kept, roughSlope(kept));
  const free = averageShapes(weighted, null, errors);
  const average = free && isToeShown(free, weighted) ? free : averageShapes(weighted, sigmaPaper, errors);
  const isReversed = peak !== null;
  const drawn = average && describesWell(average, kept) ? drawAverage(average, kept, isReversed) : drawSmooth(weighted);
  const measured = { lowest: kept[0]!.logH, highest: kept[kept.length - 1]!.logH };
  const { points, logExposureRange, averageGradient } = curvePoints(drawn, measured);
  return {
    ...drawn.named,
    channel,
    dMin: drawn.dMin,
    dMax: drawn.dMax,
    points,
    logExposureRange,
    averageGradient,
    samples: drawn.samples,
    steps: sorted.map((step) => ({
      index: step.index,
      logH: step.logH,
      density: step.density,
      sigma: step.sigma,
      leftOut: leftOut.get(step.index) ?? null,
    })),
    sigmaLogH: {
      toe: points.toe && drawn.sigmaToeLogH,
      shoulder: points.shoulder && drawn.shareSigmas.find(({ share }) => share === shoulderShare)!.sigmaLogH,
    },
    shareSigmas: drawn.shareSigmas,
    ...(drawn.reachedSigmas === undefined ? {} : { reachedSigmas: drawn.reachedSigmas }),
    reversalFromLogH: isReversed ? measured.highest : null,
  };
}

/** A curve as drawn, whichever way it was found. */
interface Drawn {
  readonly samples: readonly CurveSample[];
  readonly dMin: number;
  readonly dMax: number;
  readonly sigmaToeLogH: number | null;
  readonly shareSigmas: Curve["shareSigmas"];
  readonly reachedSigmas?: Curve["shareSigmas"];
  readonly named: Pick<Curve, "family" | "parameters" | "covariance" | "residualDensity" | "degreesOfFreedom">;
}

/**
 * A sample with its band, no wider than any print can differ: what is not known at all stays a number that can be
 * drawn.
 */
function bandAbout(logH: number, density: number, half: number): CurveSample {
  const shown = Number.isFinite(half) ? Math.min(half, widestHalfBand) : widestHalfBand;
  return { logH, density, lower: density - shown, upper: density + shown };
}

/** Rising log exposures over the measured range. */
function sampledLogH(kept: readonly { readonly logH: number }[]): number[] {
  const lowest = kept[0]!.logH;
  const highest = kept[kept.length - 1]!.logH;
  return Array.from({ length: sampleCount }, (_, i) => lowest + ((highest - lowest) * i) / (sampleCount - 1));
}

/** Everything but the tablet as a whole, whose uncertainty is what it is said to be. */
function inflated(
  variances: ReadonlyMap<RangeSource, number>,
  inflation: number,
): { sigmaLogH: number; variances: NonNullable<ShareSigma["variances"]> } {
  const parts = [...variances].map(([source, variance]) => ({
    source,
    variance: source === "tablet-scale-and-base" ? variance : inflation ** 2 * variance,
  }));
  return { sigmaLogH: Math.sqrt(parts.reduce((sum, part) => sum + part.variance, 0)), variances: parts };
}

function inflationFor(count: number): number {
  const fine = Math.min(1, Math.max(0, (count - coarseSteps) / (fineSteps - coarseSteps)));
  return coarseFactor + (fineFactor - coarseFactor) * fine;
}

function drawAverage(average: AveragedShape, kept: readonly CurveStep[], isReversed: boolean): Drawn {
  const highest = kept[kept.length - 1]!.logH;
  const inflation = inflationFor(kept.length);
  const factor = studentT95(average.degreesOfFreedom) * inflation;
  const samples = sampledLogH(kept).map((logH): CurveSample => {
    const { value: density, sigma } = averagedQuantity(average, (shape, parameters) =>
      readShapeDensity(shape, parameters, logH),
    );
    return bandAbout(logH, density, factor * sigma);
  });
  // Where the shoulder falls, the curve's maximum is what the rising steps reach, not where the shapes would have gone.
  const netOf = (shape: FittedShape, parameters: readonly number[]) =>
    isReversed ? shapeDensity(shape, parameters, highest) - parameters[0]! : parameters[1]!;
  const topOf = (shape: FittedShape, parameters: readonly number[]) =>
    shape.asRead(parameters, parameters[0]! + netOf(shape, parameters));
  const sigmaAt = (share: (shape: FittedShape, parameters: readonly number[]) => number): number | null => {
    const { sigma } = averagedLogH(average, share);
    return Number.isFinite(sigma) && sigma < hopelessLogH ? inflation * sigma : null;
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
      ...inflated(variances, inflation),
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

/** The smooth fall-back; its levels are those of its ends, for it knows no others. */
function drawSmooth(steps: readonly WeightedStep[]): Drawn {
  const { curve, repeats, residuals } = monotoneSmooth(steps);
  const degreesOfFreedom = Math.max(1, steps.length / 2);
  const factor = studentT95(degreesOfFreedom);
  const spread = (values: readonly number[], about: number) =>
    Math.sqrt(values.reduce((sum, value) => sum + (value - about) ** 2, 0) / values.length);
  const samples = sampledLogH(steps).map((logH): CurveSample => {
    const density = monotoneCubicAt(curve, logH);
    const half =
      factor *
      spread(
        repeats.map((repeat) => monotoneCubicAt(repeat, logH)),
        density,
      );
    return bandAbout(logH, density, half);
  });
  const levels = (of: MonotoneCubic) => ({ low: of.y[0]!, net: of.y[of.y.length - 1]! - of.y[0]! });
  const sigmaAt = (density: (of: MonotoneCubic) => number) =>
    spread(
      repeats.map((repeat) => smoothLogH(repeat, density(repeat))),
      smoothLogH(curve, density(curve)),
    );
  const { low, net } = levels(curve);
  return {
    samples,
    dMin: low,
    dMax: low + net,
    sigmaToeLogH: sigmaAt((of) => levels(of).low + toeDensity),
    shareSigmas: keptShares.map((share) => ({
      share,
      sigmaLogH: sigmaAt((of) => levels(of).low + share * levels(of).net),
    })),
    named: {
      family: "monotone-smooth",
      parameters: [],
      covariance: [],
      residualDensity: Math.sqrt(residuals.reduce((sum, value) => sum + value * value, 0) / degreesOfFreedom),
      degreesOfFreedom,
    },
  };
}

/**
 * Whether the averaged shapes describe the steps: not when their residuals come in long runs of one sign and are much
 * larger than the scatter of the steps about their own neighbours.
 */
function describesWell(average: AveragedShape, kept: readonly CurveStep[]): boolean {
  const residuals = kept.map((step) => step.density - averagedDensity(average, step.logH));
  const size = Math.sqrt(residuals.reduce((sum, value) => sum + value * value, 0) / kept.length);
  const local = Math.max(stepScatter(kept), ...kept.map((step) => step.sigma).slice(0, 1), 0.003);
  return fewRunsProbability(residuals) > fewRunsLimit || size < misfitFactor * local;
}

function isEnough(steps: readonly CurveStep[]): boolean {
  return new Set(steps.map((step) => step.logH)).size >= fewestUsableSteps;
}

/** Slope of a first curve, good enough to carry the tablet's tolerance over to density. */
function roughSlope(steps: readonly CurveStep[]): (logH: number) => number {
  const scatter = Math.max(stepScatter(steps), 0.005);
  const even = steps.map((step) => ({ logH: step.logH, density: step.density, sigma: scatter }));
  const fit = fitShape({
    model: asymmetricSigmoid,
    steps: even,
    starts: symmetricStarts(even).map((start) => [...start, 0]),
    sigmaPaper: 0.05,
  });
  if (fit === null) return () => 0;
  const delta = 1e-3;
  return (logH) =>
    (shapeDensity(fit, fit.parameters, logH + delta) - shapeDensity(fit, fit.parameters, logH - delta)) / (2 * delta);
}

/** Sigma of each step with the tablet's tolerance carried through the slope of the curve. */
function withTolerance(steps: readonly CurveStep[], slope: (logH: number) => number): WeightedStep[] {
  return steps.map((step) => ({
    logH: step.logH,
    density: step.density,
    ...withTabletVariance(Math.max(step.sigma, 1e-3), slope(step.logH) * step.sigmaLogH),
    tabletDensity: step.tabletDensity ?? null,
    place: step.place ?? null,
  }));
}

function withTabletVariance(reading: number, tablet: number): Pick<WeightedStep, "sigma" | "tabletVarianceShare"> {
  const sigma = Math.hypot(reading, tablet);
  return { sigma, tabletVarianceShare: (tablet / sigma) ** 2 };
}

/** Whether the steps themselves fix the bottom level. */
function isToeShown(average: AveragedShape, weighted: readonly WeightedStep[]): boolean {
  const bottom = averagedQuantity(average, (_, parameters) => parameters[0]!);
  return averagedDensity(average, weighted[0]!.logH) - bottom.value < toeDensity && bottom.sigma < sigmaPaper;
}

function bestFamily(average: AveragedShape): Curve["family"] {
  const weights = new Map<Curve["family"], number>();
  for (const shape of average.shapes)
    weights.set(shape.model.family, (weights.get(shape.model.family) ?? 0) + shape.weight);
  return [...weights].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
}
