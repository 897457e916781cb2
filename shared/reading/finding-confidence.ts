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
  readonly riseInside: number;
  readonly edgeStrength: number;
}

/** Below this confidence the corners are asked for. */
export const askBelow = 0.6;
/** Below this confidence the reading says that the place should be checked. */
export const warnBelow = 0.9;

const share = (value: number, none: number, full: number) => Math.min(Math.max((value - none) / (full - none), 0), 1);

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
    (evidence.darkEnd || evidence.paleEnd ? 1 - 0.7 * share(evidence.phaseError, 0.18, 0.4) : 1) *
    (1 - share(1 - evidence.fallingShare, 0.05, 0.3)) *
    share(evidence.fall, 0.08, 0.3) *
    (1 - 0.9 * share(evidence.riseInside, 0.05, 0.2)) *
    (0.4 + 0.6 * share(evidence.edgeStrength, 0.005, 0.03))
  );
}
