// From measured steps to the characteristic curve: what is left out, which shape, how sure.
import { shoulderShare } from "#shared/limits.ts";
import type { Channel, Curve } from "#shared/schema/curve.ts";
import { fewRunsProbability } from "#shared/statistics/runs-test.ts";
import {
  averagedDensity,
  averagedQuantity,
  averagedResiduals,
  averageShapes,
  type AveragedShape,
} from "./average-shapes.ts";
import type { WeightedStep } from "./candidate-shapes.ts";
import { curvePoints, toeDensity } from "./curve-points.ts";
import type { CurveStep, LeftOut } from "./curve-step.ts";
import { drawAveragedShapes } from "./draw-averaged-shapes.ts";
import { drawMonotoneSmooth } from "./draw-monotone-smooth.ts";
import type { Drawn } from "./drawn-curve.ts";
import { lastRisingStep, stepScatter } from "./falling-shoulder.ts";
import { stepsWithTolerance } from "./steps-with-tolerance.ts";
import { noSystematicErrors, type SystematicErrors } from "./systematic-errors.ts";
import { wildSteps } from "./wild-steps.ts";

/** Fewer usable steps than this cannot show a curve and its scatter. */
export const fewestUsableSteps = 5;
/** How well density zero of unexposed paper is known where the steps themselves do not show it. */
const sigmaPaper = 0.02;
/**
 * Residual runs this unlikely, with residuals this many times the local scatter, mean that no sigmoid describes the
 * steps.
 */
const fewRunsLimit = 0.05;
const misfitFactor = 1.7;

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
  const { leftOut, isReversed } = stepsLeftOut(sorted);
  const kept = sorted.filter((step) => !leftOut.has(step.index));
  if (!isEnough(kept)) return null;
  const drawn = drawThrough(kept, { isReversed, errors });
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

/** Steps that the curve does without: flagged in the picture, past the fall of the shoulder, or wild. */
function stepsLeftOut(sorted: readonly CurveStep[]): {
  readonly leftOut: ReadonlyMap<number, LeftOut>;
  readonly isReversed: boolean;
} {
  const leftOut = new Map<number, LeftOut>();
  for (const step of sorted) if (step.isFlagged) leftOut.set(step.index, "flagged");
  const beforeFall = sorted.filter((step) => !leftOut.has(step.index));
  const peak = lastRisingStep(beforeFall);
  const rising = peak === null ? beforeFall : beforeFall.slice(0, peak + 1);
  for (const step of beforeFall.slice(rising.length)) leftOut.set(step.index, "reversal");
  if (isEnough(rising))
    for (const position of wildSteps(stepsWithTolerance(rising))) leftOut.set(rising[position]!.index, "wild");
  return { leftOut, isReversed: peak !== null };
}

function drawThrough(
  kept: readonly CurveStep[],
  { isReversed, errors }: { isReversed: boolean; errors: SystematicErrors },
): Drawn {
  const weighted = stepsWithTolerance(kept);
  const free = averageShapes(weighted, null, errors);
  const average = free && isToeShown(free, weighted) ? free : averageShapes(weighted, sigmaPaper, errors);
  return average && describesWell(average, kept)
    ? drawAveragedShapes(average, kept, isReversed)
    : drawMonotoneSmooth(weighted, errors);
}

/**
 * Whether the averaged shapes describe the steps: not when what tablet, coating and camera leave of their residuals
 * comes in long runs of one sign and is much larger than the scatter of the steps about their own neighbours.
 */
function describesWell(average: AveragedShape, kept: readonly CurveStep[]): boolean {
  const residuals = averagedResiduals(average);
  const size = Math.sqrt(residuals.reduce((sum, value) => sum + value * value, 0) / kept.length);
  const local = Math.max(stepScatter(kept), ...kept.map((step) => step.sigma).slice(0, 1), 0.003);
  return fewRunsProbability(residuals) > fewRunsLimit || size < misfitFactor * local;
}

function isEnough(steps: readonly CurveStep[]): boolean {
  return new Set(steps.map((step) => step.logH)).size >= fewestUsableSteps;
}

/** Whether the steps themselves fix the bottom level. */
function isToeShown(average: AveragedShape, weighted: readonly WeightedStep[]): boolean {
  const bottom = averagedQuantity(average, (_, parameters) => parameters[0]!);
  return averagedDensity(average, weighted[0]!.logH) - bottom.value < toeDensity && bottom.sigma < sigmaPaper;
}
