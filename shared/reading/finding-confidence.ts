// How sure it is that a strip found by itself lies where it was put.
import { errorFunctionAt } from "#shared/statistics/normal-distribution.ts";

/** What speaks for and against, see the finder. */
export interface FindingEvidence {
  /** Step boundaries seen inside the strip, and in line with it beyond its ends. */
  readonly boundaries: number;
  readonly boundariesBeyond: number;
  /** Spread of these about a smooth course, in steps. */
  readonly residualSteps: number;
  /** Ends seen: the dark one against paper, the pale one against blue. */
  readonly darkEnd: boolean;
  readonly paleEnd: boolean;
  /** Steps between both ends when both were seen; null otherwise. */
  readonly stepsBetweenEnds: number | null;
  /** Steps between a seen end and a likely other end; null when none is likely. */
  readonly stepsToFarEnd: number | null;
  /** How much worse (sum of squares) it would be to count from the end by one step more or less. */
  readonly countMargin: number;
  /** Standard uncertainty of the less certain end, in steps. */
  readonly endSigmaSteps: number;
  /** Share of the steps that fall from dark to pale, things lying on the strip apart. */
  readonly fallingShare: number;
  /** Fall of the field over the steps, a few outermost ones apart. */
  readonly fall: number;
  /** Mean change across the weaker long edge. */
  readonly edgeStrength: number;
}

/** 0 at or beyond `none`, 1 at or beyond `full`, even between. */
const share = (value: number, none: number, full: number) => Math.min(Math.max((value - none) / (full - none), 0), 1);

/** An end further off than this many steps puts steps in the wrong place. */
const misplacedSteps = 0.5;
/** Even an end that is seen is placed no better than this, in steps. Source: common practice, no source (rendered scenes). */
const seenSigmaSteps = 0.1;
/** Below this confidence the corners are asked for. */
export const askBelow = 0.6;
/** Below this confidence the reading says that the place should be checked. */
export const warnBelow = 0.97;

/** As many boundaries as this are a row of steps beyond doubt. */
const plentyBoundaries = 5;
/** What is left of the confidence when a piece of evidence is as bad as can be. */
const left = {
  noEnd: 0.35,
  otherCount: 0.4,
  otherFarEnd: 0.7,
  fewBoundaries: 0.3,
  boundariesBeyond: 0.75,
  uneven: 0.2,
  faintEdges: 0.2,
} as const;

/**
 * Confidence that what was found is the strip, counted from its right end.
 * @param evidence what the finder saw
 * @param steps declared number of steps
 * @returns share 0-1; every piece of evidence can only lower it
 * Source: common practice, no source (weights tuned on rendered scenes)
 */
export function identityConfidence(evidence: FindingEvidence, steps: number): number {
  const keep = (least: number, good: number) => least + (1 - least) * good;
  // Two rival counts, each as likely as its sum of squares says; the squares are related, so they count for two thirds.
  const counted = 1 / (1 + 2 * Math.exp(-evidence.countMargin / 3));
  const factors = [
    evidence.darkEnd || evidence.paleEnd ? counted : left.noEnd,
    evidence.stepsBetweenEnds === null || evidence.stepsBetweenEnds === steps ? 1 : left.otherCount,
    evidence.stepsToFarEnd === null || evidence.stepsToFarEnd === steps ? 1 : left.otherFarEnd,
    keep(left.fewBoundaries, share(evidence.boundaries, 1, Math.min(plentyBoundaries, Math.max(2, steps - 1)))),
    keep(left.boundariesBeyond, share(evidence.boundariesBeyond, 3, 0)),
    keep(left.uneven, share(evidence.residualSteps, 0.2, 0.08)),
    share(evidence.fallingShare, 0.6, 0.85),
    share(evidence.fall, 0.08, 0.3),
    keep(left.faintEdges, share(evidence.edgeStrength / Math.max(evidence.fall, 0.1), 0.015, 0.06)),
  ];
  return factors.reduce((product, factor) => product * factor, 1);
}

/**
 * Confidence that the less certain end lies within half a step of where it was put: an end that was not seen is as uncertain as
 * the course of the boundaries beyond the last one seen.
 * @returns share 0-1, from the normal distribution
 * Source: common practice, no source (0.1 step from rendered scenes)
 */
export function placementConfidence({ endSigmaSteps }: Pick<FindingEvidence, "endSigmaSteps">): number {
  return errorFunctionAt(misplacedSteps / (Math.SQRT2 * Math.hypot(endSigmaSteps, seenSigmaSteps)));
}
