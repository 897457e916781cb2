// What may be wrong with a picture.
import type { Corners } from "#shared/schema/reading.ts";
import type { StripWarning } from "./reading-facts.ts";

/** What is known about a picture and the strip in it. */
export interface PictureFacts {
  readonly corners: Corners;
  readonly steps: number;
  /** Softness of the step boundaries: standard deviation of the blur in steps; null when no boundary was clear. */
  readonly blurSteps: number | null;
  /** Mean of the JPEG brightness table; null for other formats. */
  readonly jpegTableMean: number | null;
  /** Whether a camera took it: told by file or user, supposed because nothing tells of a scanner, or not. */
  readonly camera: "told" | "supposed" | "none";
  /** Whether reference patches corrected the tone curve. */
  readonly hasReference: boolean;
  readonly longSidePx: number;
  /** Whether it has no colours. */
  readonly isGrey: boolean;
  /** Share of patches of paper that are overexposed. */
  readonly clippedPaperShare: number;
}

/** Softer than this, neighbouring steps leak into the sampled middle: 20 % margin is 1.6 standard deviations. */
const mostBlurSteps = 0.125;
/** Fewer pixels than this for a step leave few to sample. */
const fewPixelsPerStep = 10;
/** Opposite sides that differ by more than this ratio mean a camera held far from square. */
const tiltedSideRatio = 1.6;
/**
 * JPEG brightness tables this coarse round tones visibly: about quality 80 of the usual tables.
 * Source: itu-t81, annex K scaled, from memory.
 */
const coarseTableMean = 23;
/** Messengers shrink pictures to about this long side. Source: from memory. */
const messengerLongSidePx = 2100;
const mostClippedPaperShare = 0.3;

const lengthPx = (a: readonly [number, number], b: readonly [number, number]) => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** Warnings about the picture, most serious first. */
export function pictureWarnings(facts: PictureFacts): StripWarning[] {
  const warnings: StripWarning[] = [];
  const [a, b, c, d] = facts.corners;
  const [top, bottom, left, right] = [lengthPx(a, b), lengthPx(d, c), lengthPx(a, d), lengthPx(b, c)];
  const [widthPx, heightPx] = [Math.min(top, bottom) / facts.steps, Math.min(left, right)];
  if (facts.isGrey) warnings.push({ code: "picture-grey" });
  if (facts.clippedPaperShare > mostClippedPaperShare) warnings.push({ code: "paper-clipped" });
  if (facts.blurSteps !== null && facts.blurSteps > mostBlurSteps) warnings.push({ code: "blurred" });
  if (widthPx < fewPixelsPerStep || heightPx < fewPixelsPerStep)
    warnings.push({ code: "small-steps", widthPx, heightPx });
  if (Math.max(top / bottom, bottom / top, left / right, right / left) > tiltedSideRatio)
    warnings.push({ code: "tilted" });
  if (facts.jpegTableMean !== null && facts.jpegTableMean > coarseTableMean)
    warnings.push({
      code: "recompressed",
      looksSent: facts.camera !== "told" && facts.longSidePx <= messengerLongSidePx,
    });
  if (facts.camera !== "none" && !facts.hasReference)
    warnings.push({ code: "tone-unchecked", ...(facts.camera === "supposed" ? { isSupposed: true } : {}) });
  return warnings;
}

/** Channels that differ by less than this density, and steps deeper than that which have to be told from paper. */
const alikeDensity = 0.002;
const leastDepth = 0.2;

/**
 * Whether steps have no colour at all, as in a picture turned to grey: no pigment and no camera makes three channels
 * equal. A print without depth tells nothing. @param steps red, green and blue density; without the latter two, grey
 */
export function areGrey(
  steps: readonly { readonly red: number; readonly green?: number; readonly blue?: number }[],
): boolean {
  if (steps.every(({ green }) => green === undefined)) return true;
  const apart = steps.map(({ red, green = red, blue = red }) => Math.max(Math.abs(red - green), Math.abs(red - blue)));
  return Math.max(...steps.map(({ red }) => red)) > leastDepth && Math.max(...apart) < alikeDensity;
}

/**
 * Warning when a strip runs from pale to dark where it should run from dark to pale.
 * @param densities of the steps in order
 * @param darkFirst whether step 1 should be the darkest; null when the order is not known
 */
export function reversedWarning(densities: readonly number[], darkFirst: boolean | null): StripWarning | null {
  if (darkFirst === null || densities.length < 3) return null;
  const rises = densities
    .slice(1)
    .map((density, i) => density - densities[i]!)
    .filter((rise) => Math.abs(rise) > 0.01);
  const wrong = rises.filter((rise) => (darkFirst ? rise > 0 : rise < 0)).length;
  const whole = darkFirst ? densities.at(-1)! - densities[0]! : densities[0]! - densities.at(-1)!;
  if (whole < 0.15 || wrong < 0.7 * rises.length) return null;
  return { code: "strip-reversed", firstShouldBe: darkFirst ? "darkest" : "palest" };
}
