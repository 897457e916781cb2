// What stops the reading of a picture, as codes and numbers: found here and by src/imaging.
// shared/words/tests/picture-trouble-words.ts and finding-trouble-words.ts make the sentences.
import { TroubleError, type InputErrorCode } from "#shared/errors.ts";

/** Why four corners cannot be a strip. */
export type CornerTrouble =
  /** The corner's number, from 1. */
  | { readonly code: "corner-outside"; readonly corner: number; readonly widthPx: number; readonly heightPx: number }
  | { readonly code: "corners-mirrored" }
  | { readonly code: "corners-crossed" }
  /** The steps run from corner 1 to corner 4, not to corner 2. */
  | { readonly code: "corners-turned" }
  | { readonly code: "strip-too-small"; readonly steps: number; readonly widthPx: number; readonly heightPx: number }
  | { readonly code: "sides-differ" };

/** Why a file cannot be taken as a picture. */
export type PictureTrouble =
  | { readonly code: "file-empty" }
  | { readonly code: "file-cut-short" }
  | { readonly code: "camera-raw" }
  | { readonly code: "avif" }
  | { readonly code: "heic-damaged" }
  | { readonly code: "heic-decoder-missing" }
  | { readonly code: "heic-negative" }
  | { readonly code: "high-dynamic-range" }
  | { readonly code: "pdf" }
  | { readonly code: "no-known-picture" }
  | { readonly code: "picture-damaged" }
  | { readonly code: "cmyk" }
  | { readonly code: "lab" }
  | { readonly code: "unusual-numbers" }
  | { readonly code: "unusual-channels" }
  | { readonly code: "half-transparent" }
  | {
      readonly code: "too-many-pixels";
      readonly pixels: number;
      readonly mostPixels: number;
      readonly purpose: "reading" | "negative";
    }
  | { readonly code: "too-long"; readonly longestPx: number; readonly mostPx: number }
  | { readonly code: "too-much-memory" };

/** Why a strip or sheet cannot be found or measured. */
export type FindingTrouble =
  | { readonly code: "other-kind-of-tablet" }
  | { readonly code: "order-unknown" }
  | { readonly code: "strip-beyond-picture"; readonly steps: number }
  | { readonly code: "no-strip" }
  | { readonly code: "strip-unsure" }
  | { readonly code: "step-too-small"; readonly step: number }
  | { readonly code: "even-light-other-shape" }
  | { readonly code: "even-light-no-sheet" }
  /** What is wrong with the second picture. */
  | { readonly code: "even-light-unreadable"; readonly trouble: PictureTrouble }
  | { readonly code: "no-sheet" }
  | { readonly code: "spot-beyond-picture" }
  | { readonly code: "sheet-of-inks" }
  | { readonly code: "sheet-not-of-inks" }
  | { readonly code: "sheet-marks-missing" }
  | { readonly code: "sheet-corners-crossed" }
  | { readonly code: "sheet-too-small"; readonly pxPerMm: number; readonly fewestPxPerMm: number }
  | { readonly code: "sheet-outside" }
  | { readonly code: "sheet-chaotic" };

/** Why the light of a bed cannot be told from a picture. */
export type FieldTrouble =
  | {
      readonly code: "even-light-other-size";
      readonly widthPx: number;
      readonly heightPx: number;
      readonly wantedWidthPx: number;
      readonly wantedHeightPx: number;
    }
  | { readonly code: "no-paper-border" }
  | { readonly code: "border-uneven" };

/** Why a job of the imaging workers was not done. */
export type WorkTrouble =
  | { readonly code: "stopping" }
  | { readonly code: "too-many-waiting" }
  | { readonly code: "took-too-long"; readonly limitSeconds: number };

export type ReadingTrouble = CornerTrouble | PictureTrouble | FindingTrouble | FieldTrouble | WorkTrouble;

/** An error that carries such a trouble. */
export function readingTrouble(
  code: InputErrorCode,
  trouble: ReadingTrouble,
  options: ConstructorParameters<typeof TroubleError>[2] = {},
): TroubleError {
  return new TroubleError(code, trouble, options);
}
