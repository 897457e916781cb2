// How sure it is that a strip found by itself lies where it was put.

/** What speaks for and against, see the finder. */
export interface FindingEvidence {
  readonly boundaries: number;
  readonly residualShare: number;
  readonly phaseError: number;
  readonly darkEnd: boolean;
  readonly paleEnd: boolean;
  readonly stepsBetweenEnds: number | null;
  readonly fallingShare: number;
  readonly fall: number;
  readonly edgeStrength: number;
}

/** How well the corners are known after all edges were taken together. */
export interface PlacementEvidence {
  /** Standard uncertainty of the less certain end, in steps. */
  readonly endSigmaSteps: number;
  /** How far seen boundaries lie from an even grid, in steps. */
  readonly stretchSteps: number;
  /** Steps between the last seen boundary or end and the strip's end, at the worse end. */
  readonly unseenSteps: number;
}

const share = (value: number, none: number, full: number) => Math.min(Math.max((value - none) / (full - none), 0), 1);

/** Flat paper keeps its boundaries this even, in steps; cloth and curled film do not. Source: common practice, no source. */
const evenStretchSteps = 0.02;

/**
 * Confidence left after placement: ends that were extrapolated, the more so on stretched cloth, are less sure.
 * @returns factor 0-1
 * Source: common practice, no source (tuned on rendered scenes)
 */
export function placementConfidence({ endSigmaSteps, stretchSteps, unseenSteps }: PlacementEvidence): number {
  const stretched = Math.max(0, stretchSteps - evenStretchSteps) * 5 * unseenSteps;
  return 1 - 0.35 * share(Math.hypot(endSigmaSteps, stretched), 0.1, 0.4);
}

/** An end this far from a grid line (steps) is worth a look: cloth stretches. */
const surePhase = 0.2;
/** Below this confidence the corners are asked for. */
export const askBelow = 0.6;
/** Below this confidence the reading says that the place should be checked. */
export const warnBelow = 0.92;


/**
 * Confidence that a found strip lies within a third of a step of its true place.
 * @param evidence what the finder saw
 * @param steps declared number of steps
 * @returns share 0-1; every piece of evidence can only lower it
 * Source: common practice, no source (weights tuned on rendered scenes)
 */
export function findingConfidence(evidence: FindingEvidence, steps: number): number {
  const needed = Math.min(6, Math.max(2, steps - 1));
  const ends = evidence.darkEnd || evidence.paleEnd ? 1 : 0.35;
  const counted = evidence.stepsBetweenEnds === null || evidence.stepsBetweenEnds === steps ? 1 : 0.4;
  return (
    ends *
    counted *
    (0.3 + 0.7 * share(evidence.boundaries, 1, needed)) *
    (1 - 0.8 * share(evidence.residualShare, 0.06, 0.2)) *
    (evidence.darkEnd || evidence.paleEnd ? (evidence.phaseError > surePhase ? 0.9 : 1) * (1 - 0.7 * share(evidence.phaseError, 0.25, 0.42)) : 1) *
    (1 - share(1 - evidence.fallingShare, 0.12, 0.35)) *
    share(evidence.fall, 0.08, 0.3) *
    (0.2 + 0.8 * share(evidence.edgeStrength / Math.max(evidence.fall, 0.1), 0.03, 0.09))
  );
}
