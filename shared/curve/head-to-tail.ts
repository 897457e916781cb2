// Two strips of one tablet on one sheet, head to tail: what a straight change of the coating adds to a step of the one
// it takes from the same step of the other, so that their mean is free of it and their difference shows it.
import type { ReadingStep } from "#shared/schema/reading.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

/** A change of the coating along a sheet, from its middle to an end, as a share of density. */
export interface CoatingSlope {
  readonly share: number;
  readonly sigmaShare: number;
}

/** Steps lighter than this say hardly anything of the coating [density]. common practice, no source */
const leastDensity = 0.2;
/** Fewer steps show no slope. common practice, no source */
const fewestSteps = 4;

/**
 * The two strips as one: each step's mean, its uncertainty smaller by the root of two.
 * @param turned the strip that lay the other way round, its steps in the tablet's own order; a step that is missing or
 *   flagged in either is flagged
 * Source: the mean of two independent values (the usual law of propagation).
 */
export function readTogether(steps: readonly ReadingStep[], turned: readonly ReadingStep[]): ReadingStep[] {
  const other = new Map(turned.map((step) => [step.index, step]));
  return steps.map((step) => {
    const beside = other.get(step.index);
    if (beside === undefined) return { ...step, flags: [...step.flags, "left-out"] };
    const mean = (of: (each: ReadingStep) => number) => (of(step) + of(beside)) / 2;
    const sigma = (of: (each: ReadingStep) => number) => Math.hypot(of(step), of(beside)) / 2;
    return {
      ...step,
      red: mean((each) => each.red),
      visual: mean((each) => each.visual),
      lightness: mean((each) => each.lightness),
      sigma: sigma((each) => each.sigma),
      sigmaVisual: sigma((each) => each.sigmaVisual),
      flags: [...new Set([...step.flags, ...beside.flags])],
    };
  });
}

/**
 * How steeply the coating changes along the sheet, from the difference of the two strips: each step lies at one place
 * in the one and at the mirrored place in the other. A sideways change, the same for all steps, is fitted with it.
 * @returns null where too few dense steps are there; the scatter about the line corrects the stated uncertainty
 * Source: common practice, no source; weighted least squares.
 */
export function coatingSlope(
  steps: readonly ReadingStep[],
  turned: readonly ReadingStep[],
  channel: "red" | "visual",
): CoatingSlope | null {
  const other = new Map(turned.map((step) => [step.index, step]));
  const densityOf = (step: ReadingStep) => (channel === "red" ? step.red : step.visual);
  const sigmaOf = (step: ReadingStep) => Math.max(0.003, channel === "red" ? step.sigma : step.sigmaVisual);
  const rows = steps.flatMap((step, position) => {
    const beside = other.get(step.index);
    if (beside === undefined || step.flags.length + beside.flags.length > 0) return [];
    const mean = (densityOf(step) + densityOf(beside)) / 2;
    if (mean < leastDensity) return [];
    return [
      {
        place: (2 * position) / (steps.length - 1) - 1,
        share: (densityOf(step) - densityOf(beside)) / (2 * mean),
        sigma: Math.hypot(sigmaOf(step), sigmaOf(beside)) / (2 * mean),
      },
    ];
  });
  if (rows.length < fewestSteps) return null;
  const line = linearLeastSquares({
    design: rows.map(({ place }) => [1, place]),
    response: rows.map(({ share }) => share),
    sigma: rows.map(({ sigma }) => sigma),
  });
  const scatter = Math.max(1, Math.sqrt(line.residualSumSquares / Math.max(1, line.degreesOfFreedom)));
  return { share: line.coefficients[1]!, sigmaShare: scatter * Math.sqrt(line.unscaledCovariance[1]![1]!) };
}
