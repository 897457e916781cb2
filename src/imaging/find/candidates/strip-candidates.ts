// Strips that could lie in a picture: groups of edges placed as strips, fitted as a whole where they are likely, and
// those that show by their sides or beside others.
import {
  identityConfidence,
  placementConfidence,
  pooledConfidence,
  suggestFrom,
  warnBelow,
} from "#shared/reading/corners/finding-confidence.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { apartShare } from "#src/imaging/find/corners-apart.ts";
import { edgeGroups, type EdgeGroup } from "#src/imaging/find/edge-groups.ts";
import { edgeSegments } from "#src/imaging/find/edge-segments.ts";
import { placeStrip } from "#src/imaging/find/place-strip.ts";
import { refinedStrip } from "#src/imaging/find/refined/refine-strip.ts";
import { widenedOverSteps } from "#src/imaging/find/refined/steps-beside.ts";
import type { SmallPicture } from "#src/imaging/find/small-picture.ts";
import { smoothed, type Field } from "#src/imaging/find/smoothed-field.ts";
import { stripsByThreeSides } from "#src/imaging/find/three-sides.ts";
import { timesSure, type Candidate } from "./likeliest-candidate.ts";

/** A strip as certain as this to be the one in the picture ends the search. */
const sureFrom = 0.9;

/** A place that reaches beyond the picture is so much less likely than one that does not. */
const beyondPicture = 0.5;

/** Rounds of smoothing tried in turn: fine steps first, then grain and weave. */
const smoothings = [1, 5, 14] as const;

/** So many places that no doubt was left out of are fitted as a whole, likeliest first. */
const mostRefined = 4;

/** Confidence in a place that no fit as a whole bears out is so much lower. common practice, no source */
const unrefined = 0.7;

/**
 * Once a strip is sure, only groups this much higher are looked at, of so many edges and this share of its score.
 * Source: common practice, no source (rendered scenes).
 */
const largerTimes = 1.3;
const fewestOfLarger = 3;
const likeScore = 0.5;

/** Places this near to each other are the same, share of the length. */
const sameShare = 0.03;

/** Two looks at a strip count alike where their places lie within so many steps. */
const mostApartSteps = 0.5;

/** Strips that could lie in a picture. */
export function stripCandidates(whole: Field, small: SmallPicture, steps: number): Candidate[] {
  const refined: Candidate[] = [];
  const rough: Candidate[] = [];
  const picture = { small, steps };
  let field = smoothed(whole, smoothings[0]);
  const sharp = field;
  const sharpSegments = edgeSegments(sharp);
  let done: number = smoothings[0];
  for (const passes of smoothings) {
    field = smoothed(field, passes - done);
    done = passes;
    let sure: EdgeGroup | null = null;
    const segments = field === sharp ? sharpSegments : edgeSegments(field);
    for (const group of edgeGroups(segments, field)) {
      // Groups come likeliest first, so one that leaves no doubt ends the search but for larger strips like it.
      if (sure !== null && !isLargerLike(group, sure)) continue;
      const strip = placeStrip(field, group, steps);
      if (strip === null) continue;
      const candidate = judged(strip, small, steps);
      if (!isSure(candidate, picture)) {
        rough.push(candidate);
        continue;
      }
      refined.push(refinedCandidate(sharp, candidate, picture));
      if (isSure(refined.at(-1)!, picture)) sure ??= group;
    }
    if (sure !== null) return [...refined, ...rough];
  }
  const more = rough
    .sort((a, b) => b.standing - a.standing)
    .slice(0, Math.max(0, mostRefined - refined.length))
    .map((candidate) => refinedCandidate(sharp, candidate, picture));
  const found = withWider(sharp, [...refined, ...more], picture);
  return [...found, ...candidatesByThreeSides(stripsByThreeSides(sharp, sharpSegments, steps), sharp, found, picture)];
}

/**
 * Beside so many of the likeliest places it is looked for steps that go on, where tones beside follow theirs so far;
 * where they follow further, and a strip lies there, the place is so much less likely.
 * Source: common practice, no source (rendered scenes).
 */
const mostWidened = 3;
const besideTones = { seen: 0.2, plain: 0.35 } as const;
const tooNarrow = 0.5;

/** The places found, and those whose long edges were taken too far in with wider ones in their stead. */
function withWider(field: Field, found: readonly Candidate[], picture: SearchedPicture): Candidate[] {
  const followed = found
    .filter(({ evidence }) => evidence.besideTone > besideTones.seen)
    .sort((a, b) => b.standing - a.standing)
    .slice(0, mostWidened);
  return found.flatMap((candidate) => {
    if (!followed.includes(candidate)) return [candidate];
    const corners = widenedOverSteps(field, candidate.corners, picture.steps);
    if (corners === null) return [candidate];
    const wider = fittedAsWhole(field, { ...candidate, corners }, picture, true);
    if (wider === null) return [candidate];
    const isPlain = candidate.evidence.besideTone > besideTones.plain && apartShare(wider.corners, corners) < sameShare;
    return [isPlain ? timesSure(candidate, tooNarrow) : candidate, wider];
  });
}

/** Strips whose steps alone do not show them, where none that was found lies there and may be one. */
function candidatesByThreeSides(
  places: readonly Corners[],
  field: Field,
  found: readonly Candidate[],
  picture: SearchedPicture,
): Candidate[] {
  const known = found.filter(({ identity }) => identity > suggestFrom);
  return places.flatMap((corners) => {
    if (known.some((other) => apartShare(corners, other.corners) < sameShare)) return [];
    return fittedAsWhole(field, { corners, otherCount: () => null }, picture) ?? [];
  });
}

/** Whether a group is higher than another and nearly as likely: a second print may lie beside the one that is meant. */
const isLargerLike = (group: EdgeGroup, other: EdgeGroup): boolean =>
  group.heightPx > largerTimes * other.heightPx &&
  group.members.length >= fewestOfLarger &&
  group.score > likeScore * other.score;

function judged(
  strip: Omit<Candidate, "isEndSeen" | "confidence" | "identity" | "standing">,
  small: SmallPicture,
  steps: number,
): Candidate {
  const { corners, evidence, otherCount } = strip;
  const identity = identityConfidence(evidence, steps);
  const confidence = identity * placementConfidence(evidence, steps);
  const whole = isInside(corners, small) ? 1 : beyondPicture;
  return { corners, evidence, otherCount, isEndSeen: true, confidence, identity, standing: whole * confidence };
}

const isSure = ({ corners, evidence }: Candidate, { small, steps }: SearchedPicture): boolean =>
  isInside(corners, small) && identityConfidence(evidence, steps) >= sureFrom;

/** A strip fitted as a whole: in one round where that leaves no doubt, else in as many as it takes. */
function refinedCandidate(field: Field, candidate: Candidate, picture: SearchedPicture): Candidate {
  if (candidate.confidence >= warnBelow) {
    const soon = borneOut(field, candidate, picture, true);
    if (soon.confidence >= warnBelow) return soon;
  }
  return borneOut(field, candidate, picture, false);
}

interface SearchedPicture {
  readonly small: SmallPicture;
  readonly steps: number;
}

/**
 * A strip as the fit as a whole leaves it. Where that counts the steps as they were counted when it was found, it is
 * what it is as surely as both looks say together; it lies where the fit puts it.
 */
function borneOut(field: Field, candidate: Candidate, picture: SearchedPicture, isNear: boolean): Candidate {
  const whole = fittedAsWhole(field, candidate, picture, isNear);
  if (whole === null) return timesSure(candidate, unrefined);
  if (apartShare(whole.corners, candidate.corners) * picture.steps > mostApartSteps) return whole;
  return whole.identity > 0
    ? timesSure(whole, pooledConfidence(candidate.identity, whole.identity) / whole.identity)
    : whole;
}

/** A place fitted as a whole, as sure as it is by itself; null where its lines make no strip. */
function fittedAsWhole(
  field: Field,
  { corners, otherCount }: Pick<Candidate, "corners" | "otherCount">,
  { small, steps }: SearchedPicture,
  isNear = false,
): Candidate | null {
  const refined = refinedStrip(field, corners, steps, isNear);
  if (refined === null) return null;
  const { isEndSeen, ...strip } = refined;
  return { ...judged({ ...strip, otherCount }, small, steps), isEndSeen };
}

/** Whether corners lie in the picture, but for rounding. */
export const isInside = (
  corners: Corners,
  { width, height }: { readonly width: number; readonly height: number },
): boolean => corners.every(([x, y]) => x >= -1 && y >= -1 && x <= width + 1 && y <= height + 1);
