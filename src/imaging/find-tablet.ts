// Finds the strip in a picture by itself, or asks for its corners with the best guess in hand.
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import {
  askBelow,
  confidenceInOtherLight,
  confidenceWithoutEnd,
  identityConfidence,
  placementConfidence,
  pooledConfidence,
  suggestFrom,
  warnBelow,
} from "#shared/reading/corners/finding-confidence.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { StripWarning } from "#shared/reading/reading-facts.ts";
import type { Corners, Reading, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import type { Raster } from "./decode/decode.ts";
import { apartShare } from "./find/corners-apart.ts";
import { edgeGroups, type EdgeGroup } from "./find/edge-groups.ts";
import { edgeSegments } from "./find/edge-segments.ts";
import { refinedStrip } from "./find/refined/refine-strip.ts";
import {
  confidenceOf,
  likeliestOf,
  type Candidate,
  type LikeliestOne,
  type SeenCandidate,
} from "./find/likeliest-candidate.ts";
import { apartInOtherLight } from "./find/other-light.ts";
import { stripsByThreeSides } from "./find/three-sides.ts";
import { placeStrip } from "./find/place-strip.ts";
import { hasBlue, printLikelihood } from "./find/step-colour.ts";
import { smoothed, type Field } from "./find/smoothed-field.ts";
import { smallPicture, type SmallPicture } from "./find/small-picture.ts";

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
function stripCandidates(whole: Field, small: SmallPicture, steps: number): Candidate[] {
  const refined: Candidate[] = [];
  const rough: Candidate[] = [];
  const picture = { small, steps };
  let field = smoothed(whole, smoothings[0]);
  const sharp = field;
  let done: number = smoothings[0];
  for (const passes of smoothings) {
    field = smoothed(field, passes - done);
    done = passes;
    let sure: EdgeGroup | null = null;
    for (const group of edgeGroups(edgeSegments(field), field)) {
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
  const found = [...refined, ...more];
  return [...found, ...candidatesByThreeSides(sharp, found, picture)];
}

/** Strips whose steps alone do not show them, where none that was found lies there and may be one. */
function candidatesByThreeSides(field: Field, found: readonly Candidate[], picture: SearchedPicture): Candidate[] {
  const known = found.filter(({ identity }) => identity > suggestFrom);
  return stripsByThreeSides(field, edgeSegments(field), picture.steps).flatMap((corners) => {
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

/** A candidate so many times as sure. */
const timesSure = (candidate: Candidate, times: number): Candidate => ({
  ...candidate,
  identity: times * candidate.identity,
  confidence: times * candidate.confidence,
  standing: times * candidate.standing,
});

/** Blueness first, since light, shadow and grey things do not show in it; darkness where there is no colour. */
export function fieldToSearch(small: SmallPicture): Field {
  return fieldsToSearch(small)[0]!();
}

/** The fields that a strip may show in, the likelier one first. */
function fieldsToSearch(small: SmallPicture): (() => Field)[] {
  const { blueness } = small;
  if (blueness === null) return [() => small.darkness];
  const both = [() => blueness, () => small.darkness];
  return hasBlue(blueness) ? both : both.reverse();
}

/** Whether step 1 is the dark end: by the order of the inputs. Null when they do not run one way. */
export function darkFirst(tablet: Tablet): boolean | null {
  const inputs = stepInputs(tablet);
  const rising = inputs.every((value, i) => i === 0 || value >= inputs[i - 1]!);
  const falling = inputs.every((value, i) => i === 0 || value <= inputs[i - 1]!);
  if (rising === falling) return null;
  // More film density or a higher grey level prints paler; more seconds print darker.
  return tablet.kind === "timed" ? falling : rising;
}

/**
 * Where the strip lies, with the confidence that it is so.
 * @param raster upright picture
 * @param tablet what lay on the print
 * @returns the place, and what the user should check
 * @throws TroubleError "no-tablet-found" below the stated confidence; `extra.guess` holds the likeliest corners, if any
 */
export function findTablet(
  raster: Raster,
  tablet: Tablet,
): { readonly location: Reading["location"]; readonly warnings: readonly StripWarning[] } {
  const steps = stepInputs(tablet).length;
  const first = darkFirst(tablet);
  if (first === null) {
    throw readingTrouble("no-tablet-found", { code: "order-unknown" }, { field: "corners" });
  }
  const best = likeliestStrip(smallPicture(raster), steps);
  if (best === null) throw readingTrouble("no-tablet-found", { code: "no-strip" }, { field: "corners" });
  const corners = inStepOrder(best.corners, first);
  const isWhole = isInside(corners, raster);
  if (best.confidence < askBelow || !isWhole) {
    throw readingTrouble(
      "no-tablet-found",
      isWhole ? { code: "strip-unsure" } : { code: "strip-beyond-picture", steps },
      {
        field: "corners",
        extra: {
          guess: corners.map(([x, y]) => [clampTo(x, raster.width), clampTo(y, raster.height)]),
          confidence: best.confidence,
        },
      },
    );
  }
  return {
    location: { method: "found", corners, confidence: Math.round(best.confidence * 1000) / 1000 },
    warnings: doubtsAbout(best, steps),
  };
}

const isInside = (corners: Corners, { width, height }: { readonly width: number; readonly height: number }): boolean =>
  corners.every(([x, y]) => x >= -1 && y >= -1 && x <= width + 1 && y <= height + 1);

/** The likeliest strip, its corners in pixels of the picture; null where none is worth showing. */
function likeliestStrip(small: SmallPicture, steps: number): Candidate | null {
  const candidates: SeenCandidate[] = [];
  let likeliest: LikeliestOne | null = null;
  const [first, ...others] = fieldsToSearch(small);
  for (const fieldOf of [first!, ...others]) {
    const seenIn = fieldOf();
    const found = stripCandidates(seenIn, small, steps);
    const likely = fieldOf === first ? found : found.map((strip) => asColoured(strip, small, steps));
    candidates.push(...likely.map((strip) => ({ ...strip, seenIn })));
    likeliest = likeliestOf(candidates);
    // A pale or small print may show where it was not expected.
    if (likeliest !== null && confidenceOf(likeliest) >= askBelow) break;
  }
  if (likeliest === null) return null;
  const { one, rival } = likeliest;
  return {
    ...one,
    corners: ofEachCorner(one.corners, ([x, y]) => [x * small.factor, y * small.factor]),
    confidence: confidenceOf({ one: lookedAtAgain(one, small, steps), rival }),
  };
}

/** A place in doubt, as surely as it comes again in other light and shows an end. */
function lookedAtAgain(one: SeenCandidate, small: SmallPicture, steps: number): SeenCandidate {
  const { confidence, evidence, isEndSeen } = one;
  if (isEndSeen && confidence >= warnBelow) return one;
  const again =
    confidence < suggestFrom
      ? confidence
      : confidenceInOtherLight(confidence, evidence, apartInOtherLight(small, one, steps));
  return { ...one, confidence: isEndSeen ? again : confidenceWithoutEnd(again) };
}

/** A strip found where it was not expected: by darkness alone it is as likely as its steps have a print's colour. */
const asColoured = (strip: Candidate, { blueness, darkness }: SmallPicture, steps: number): Candidate =>
  blueness !== null && hasBlue(blueness)
    ? timesSure(strip, printLikelihood({ blueness, darkness }, strip.corners, steps))
    : strip;

/** What the user should check about a strip that was found. */
function doubtsAbout({ otherCount, confidence }: Candidate, declared: number): StripWarning[] {
  const warnings: StripWarning[] = [];
  const looksLike = otherCount();
  if (looksLike !== null) warnings.push({ code: "looks-like-other-count", declared, looksLike });
  if (confidence < warnBelow) warnings.push({ code: "location-uncertain", confidence });
  return warnings;
}

const clampTo = (value: number, most: number) => Math.min(Math.max(Math.round(value * 10) / 10, 0), most);

/** Found corners start at the dark end; a strip whose step 1 is pale is read from the other end. */
export function inStepOrder([a, b, c, d]: Corners, isDarkFirst: boolean): Corners {
  return isDarkFirst ? [a, b, c, d] : [c, d, a, b];
}
