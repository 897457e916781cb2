// What is worth knowing about a picture and the strip or sheet in it, as codes and numbers: found here and by
// src/imaging. shared/words/tests/reading-words.ts and sheet-words.ts make the sentences.
import type { ExposedStep } from "#shared/reading/camera/seen-tones.ts";
import type { InstrumentWarning } from "./instrument/instrument-facts.ts";
import type { Reading } from "#shared/schema/reading.ts";

/** How a picture's numbers were read. */
export type ProfileFact =
  | { readonly code: "untagged" }
  | { readonly code: "damaged" }
  | { readonly code: "other-form" }
  /** Its own name may be empty. */
  | { readonly code: "srgb"; readonly name: string }
  | { readonly code: "embedded"; readonly name: string };

/** Facts about the picture's colours, whatever it shows. */
export type ProfileWarning =
  | { readonly code: "profile-missing" }
  | { readonly code: "profile-unreadable" }
  /** The profile's name may be empty. */
  | { readonly code: "profile-tables"; readonly name: string };

/** Facts about a picture file, whatever it shows. */
export type FileWarning =
  | ProfileWarning
  /** It holds more pictures than the one that is read: the first, of a HEIC file the one it calls its main. */
  | {
      readonly code: "several-pictures-in-file";
      readonly of: number;
      readonly are: "frames" | "pages" | "shots";
    };

export type SeveralPictures = Extract<FileWarning, { code: "several-pictures-in-file" }>;

/** Why reference patches cannot be trusted. */
export type ReferenceTrouble =
  | { readonly code: "paler-than-another" }
  | { readonly code: "no-camera-curve"; readonly residualDensity: number }
  | { readonly code: "stray-light"; readonly flareShare: number }
  /** Numbers of the patches, from 1. */
  | { readonly code: "outside-or-overexposed"; readonly patches: readonly number[] };

/** Facts about reference patches in the picture. */
export type ReferenceWarning =
  | { readonly code: "reference-refused"; readonly why: ReferenceTrouble }
  | { readonly code: "reference-patches-lost"; readonly patches: readonly number[] }
  /** Film on paper so dense that glare covers it; numbers of the patches, from 1. */
  | { readonly code: "reference-film-too-dense"; readonly patches: readonly number[] }
  | { readonly code: "reference-light-unknown" }
  /** Numbers of the steps that are darker than every patch. */
  | { readonly code: "reference-too-pale"; readonly steps: readonly number[] }
  | { readonly code: "reference-too-dark" };

/** Facts about a strip in a picture. */
export type StripWarning =
  /** Another usual number of steps fits the picture clearly better than the one that was said. */
  | { readonly code: "looks-like-other-count"; readonly declared: number; readonly looksLike: number }
  /** Corners were marked in another order than round the strip; these numbers, from 1, follow one another round it. */
  | { readonly code: "corners-reordered"; readonly order: readonly number[] }
  /** Marked corners were moved onto the boundary that the picture shows, by so many pixels at most. */
  | { readonly code: "corners-settled"; readonly movedPx: number }
  /** The picture shows the strip somewhere else than where it was marked. */
  | { readonly code: "corners-doubted" }
  /** What was taken for paper gets darker along with the steps, so it was not believed. */
  | { readonly code: "paper-falls-along"; readonly stops: number }
  | { readonly code: "location-uncertain"; readonly confidence: number }
  /** What step 1 should be. */
  | { readonly code: "strip-reversed"; readonly firstShouldBe: "darkest" | "palest" }
  | { readonly code: "light-uneven"; readonly stops: number }
  | { readonly code: "no-paper"; readonly hasEvenLight: boolean }
  | { readonly code: "paper-clipped" }
  | { readonly code: "blurred" }
  /** It has no colours: all its channels say the same. */
  | { readonly code: "picture-grey"; readonly of?: "sheet" }
  | { readonly code: "small-steps"; readonly widthPx: number; readonly heightPx: number }
  | { readonly code: "tilted" }
  | { readonly code: "recompressed"; readonly looksSent: boolean }
  /**
   * How many pictures at different exposures solved the camera's tone curve, and stray light as far as the one
   * pigment tells it; absent when none did. isSupposed: the file tells neither of a camera nor of a scanner.
   */
  | { readonly code: "tone-unchecked"; readonly solvedFrom?: number; readonly isSupposed?: boolean }
  /** The camera raised its colours so many times, as the strip's one pigment shows. */
  | { readonly code: "colours-raised"; readonly times: number }
  | {
      readonly code: "steps-clipped" | "steps-crushed" | "steps-out-of-gamut" | "steps-uneven" | "steps-left-out";
      /** Their numbers, rising. */
      readonly steps: readonly number[];
    }
  /** Several pictures of one print. */
  | { readonly code: "pictures-disagree"; readonly steps: readonly number[] }
  /** ... that differ in brightness by so much, while not all of their files tell the exposure. */
  | { readonly code: "exposures-unknown"; readonly stops: number }
  /** ... whose brightness contradicts the exposures that their files tell. */
  | { readonly code: "exposures-disagree" }
  /** ... some of them after half a turn of it, which told light from print: so much from end to end. */
  | { readonly code: "light-told-by-turning"; readonly stops: number }
  /** ... but they differ as no light and no camera makes one print differ. */
  | { readonly code: "turned-pictures-differ" };

/** Facts about a wedge sheet in a picture. */
export type SheetWarning =
  | { readonly code: "sheet-mirrored" }
  | { readonly code: "sheet-zero-own-white" }
  | { readonly code: "sheet-inverted" }
  | {
      readonly code: "sheet-code-unread";
      readonly levels: number;
      readonly replicates: number;
      readonly widthMm: number;
    }
  | { readonly code: "sheet-marks-unfound" }
  | { readonly code: "coating-uneven"; readonly percent: number }
  | { readonly code: "patches-left-out"; readonly count: number; readonly of: number }
  | { readonly code: "sheet-partly-outside"; readonly count: number; readonly of: number }
  /**
   * Grey levels whose patches are cut off at black, or in part at the bright end; of a sheet, while a strip's steps
   * have numbers.
   */
  | { readonly code: "steps-crushed"; readonly levels: readonly number[] }
  | { readonly code: "steps-clipped"; readonly levels: readonly number[] };

export type ReadingWarning = FileWarning | ReferenceWarning | StripWarning | SheetWarning | InstrumentWarning;

/** The light of a picture's steps as decoded, and how much light the camera let in. */
export interface PictureLight {
  /**
   * Logarithm (base 10) of exposure time times sensitivity over the square of the f-number; null where the file does
   * not say.
   */
  readonly logExposure: number | null;
  /** Light (0-1) of each step and of paper at its place; null where it is crushed or covered. */
  readonly steps: readonly (ExposedStep | null)[];
}

/** A reading before it is put into words. */
export type MeasuredReading = Omit<Reading, "image" | "warnings"> & {
  readonly image: Omit<Reading["image"], "profile"> & { readonly profile: ProfileFact };
  readonly warnings: readonly ReadingWarning[];
  /** What several pictures of a print are compared by; no part of the answer. */
  readonly light?: PictureLight;
};
