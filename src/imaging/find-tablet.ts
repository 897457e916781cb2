// Finds the strip in a picture by itself, or asks for its corners with the best guess in hand.
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import {
  askBelow,
  confidenceInOtherLight,
  confidenceWithoutEnd,
  suggestFrom,
  warnBelow,
} from "#shared/reading/corners/finding-confidence.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { StripWarning } from "#shared/reading/reading-facts.ts";
import type { Corners, Reading, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import type { Raster } from "./decode/decode.ts";
import {
  confidenceOf,
  likeliestOf,
  type Candidate,
  type LikeliestOne,
  timesSure,
  type SeenCandidate,
} from "./find/candidates/likeliest-candidate.ts";
import { isInside, stripCandidates } from "./find/candidates/strip-candidates.ts";
import { apartInOtherLight } from "./find/other-light.ts";
import { hasBlue, printLikelihood } from "./find/step-colour.ts";
import type { Field } from "./find/smoothed-field.ts";
import { smallPicture, type SmallPicture } from "./find/small-picture.ts";

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
