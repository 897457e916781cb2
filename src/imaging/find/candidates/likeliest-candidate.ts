// Places where the strip may lie, and which of them is meant.
import { askBelow, besideRival } from "#shared/reading/corners/finding-confidence.ts";
import { homographyFromCorners, inverseHomography, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { lengthOf } from "#src/imaging/find/corners-apart.ts";
import type { FoundStrip } from "#src/imaging/find/place-strip.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";

/** Below this confidence the likeliest place helps nobody, and is not shown. */
const worthShowing = 0.15;

export interface Candidate extends Pick<FoundStrip, "corners" | "evidence" | "otherCount"> {
  readonly confidence: number;
  /** ... that it is the strip, wherever exactly it lies. */
  readonly identity: number;
  /** False where a fit as a whole shows neither end where all else foretells it. */
  readonly isEndSeen: boolean;
  /** The confidence, lower where the place reaches beyond the picture; ranks the places. */
  readonly standing: number;
}

/** A candidate so many times as sure. */
export const timesSure = (candidate: Candidate, times: number): Candidate => ({
  ...candidate,
  identity: times * candidate.identity,
  confidence: times * candidate.confidence,
  standing: times * candidate.standing,
});

/** A candidate, and the field that it was found in. */
export interface SeenCandidate extends Candidate {
  readonly seenIn: Field;
}

/** The strip that is meant, and how likely another one is that lies elsewhere. */
export interface LikeliestOne {
  readonly one: SeenCandidate;
  readonly rival: number;
}

/** How sure it is that the likeliest one is the strip that is meant. */
export const confidenceOf = ({ one, rival }: { readonly one: Candidate; readonly rival: number }): number =>
  besideRival(one.confidence, rival);

/**
 * Of strips that are each likely, the larger one is meant, and counted as it most likely is; null where none is worth
 * showing.
 */
export function likeliestOf(candidates: readonly SeenCandidate[]): LikeliestOne | null {
  const meant = ({ standing, identity, corners }: Candidate): number =>
    standing < askBelow ? standing : identity * (1 + lengthOf(corners));
  const [meantOne] = [...candidates].sort((a, b) => meant(b) - meant(a));
  if (meantOne === undefined) return null;
  // Of several places of the same strip the likeliest counts, not the longest.
  const one = candidates
    .filter(({ corners }) => !isElsewhere(corners, meantOne.corners))
    .reduce((best, other) => (other.standing > best.standing ? other : best), meantOne);
  if (one.confidence < worthShowing) return null;
  const rivals = candidates
    .filter(({ corners }) => isElsewhere(corners, one.corners))
    .map(({ standing, corners }) => standing * Math.min(1, lengthOf(corners) / lengthOf(one.corners)) ** 2);
  return { one, rival: Math.max(0, ...rivals) };
}

/** Whether the middle of a place lies off another place, in strip coordinates of that one. */
function isElsewhere([a, , c]: Corners, other: Corners): boolean {
  const toStrip = inverseHomography(homographyFromCorners(other));
  const [u, v] = mapPoint(toStrip, (a[0] + c[0]) / 2, (a[1] + c[1]) / 2);
  return !(u > -0.1 && u < 1.1 && v > -0.5 && v < 1.5);
}
