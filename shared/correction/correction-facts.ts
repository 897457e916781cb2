// What is worth knowing about a correction and the negative made with it, as codes and numbers.
// shared/words/negatives/correction-words.ts makes the sentences.
import type { Correction } from "#shared/schema/correction.ts";

/** Facts about the tones of a strip or sheet, and about the conditions that its curve holds for. */
export type CorrectionWarning =
  /** Grey levels that print alike at one end, the end's lightness L*, and how much counts as alike. */
  | {
      readonly code: "shadows-blocked";
      readonly fromLevel: number;
      readonly toLevel: number;
      readonly lightness: number;
      readonly withinLightness: number;
    }
  | {
      readonly code: "highlights-empty";
      /** "dense": the paper is known to be clean there; "veiled": it is not; "unknown": no bare paper was seen. */
      readonly film: "unknown" | "veiled" | "dense";
      readonly fromLevel: number;
      readonly toLevel: number;
      readonly lightness: number;
      readonly withinLightness: number;
    }
  | {
      readonly code: "highlights-not-held";
      readonly level: number;
      /** Density above bare paper. */
      readonly veilDensity: number;
      readonly lightness: number;
    }
  | { readonly code: "levels-incomplete"; readonly lowest: number; readonly highest: number; readonly top: number }
  | { readonly code: "tones-fall"; readonly level: number; readonly byLightness: number }
  | { readonly code: "few-levels"; readonly count: number }
  /** How far middle tones may be off, since nothing in the picture tells how it was made [L*]. */
  | { readonly code: "tones-by-camera"; readonly why: "camera" | "no-profile"; readonly lightness: number }
  /** Numbers of the steps, rising. */
  | { readonly code: "tones-left-out"; readonly steps: readonly number[] }
  | { readonly code: "strip-not-inverted" }
  /** What differs between a check sheet and the test that it was printed through, and that test's name. */
  | {
      readonly code: "check-of-other-materials";
      readonly what: readonly ("lamp" | "support" | "coating" | "film")[];
      readonly testName: string;
    }
  /** A margin strip's patch, from 1 at its darkest end, and how much lighter it is than its neighbours let expect. */
  | { readonly code: "strip-patch-odd"; readonly patch: number; readonly byLightness: number }
  /** How many strips were read since the sheet, the doubtful one among them. */
  | { readonly code: "strip-disagrees"; readonly strips: number }
  /** Mean distance of a strip's patches from what was expected of them, L*. */
  | { readonly code: "strip-far"; readonly meanLightness: number }
  /** Names of what the curve was measured with, null when nothing was named, and of what the next print uses. */
  | {
      readonly code: "other-lamp" | "other-support" | "other-coating" | "other-film";
      readonly usedName: string | null;
      readonly nextName: string;
    }
  /** Names of the devices; they may be empty. */
  | { readonly code: "other-device"; readonly usedName: string; readonly nextName: string };

/** Facts about a negative in the making. */
export type NegativeWarning =
  /** Pixels of the picture for each inch of the print. */
  { readonly code: "picture-coarse"; readonly picturePixelsPerInch: number };

/** Why tones give no curve. */
export type CorrectionTrouble =
  | { readonly code: "too-few-levels"; readonly levels: number }
  /** L* between the lightest and the darkest tone, and the least that a curve needs. */
  | { readonly code: "levels-alike"; readonly spanLightness: number; readonly leastLightness: number }
  | { readonly code: "tones-not-rising" };

/** Why a negative cannot be laid out as asked. */
export type NegativeTrouble =
  | {
      readonly code: "negative-too-large";
      readonly pixels: number;
      readonly sheets: number;
      readonly mostPixels: number;
      readonly mostSheetPixels: number;
    }
  | { readonly code: "no-such-sheet"; readonly sheets: number }
  | { readonly code: "picture-file-holds-one-sheet"; readonly sheets: number }
  /** A picture of several on one film, counted from 1, and the room on that film. */
  | {
      readonly code: "picture-beyond-film";
      readonly number: number;
      readonly widthMm: number;
      readonly heightMm: number;
      readonly roomWidthMm: number;
      readonly roomHeightMm: number;
    }
  | { readonly code: "negative-film-too-small" }
  | { readonly code: "negative-too-narrow-for-strip" };

/** A correction before it is put into words. */
export type FoundCorrection = Omit<Correction, "warnings"> & { readonly warnings: readonly CorrectionWarning[] };
