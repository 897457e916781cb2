// What is worth knowing about an instrument's numbers, and what stops them. Sentences:
// shared/words/tests/instrument-words.ts.
import { TroubleError } from "#shared/errors.ts";

export type InstrumentWarning =
  | {
      readonly code: "instrument-scale";
      readonly scale: "linear-srgb" | "red-filter" | "none";
      readonly name: string | null;
    }
  /** No sample of bare paper came with the steps, so the instrument was taken to be set to zero on it. */
  | { readonly code: "instrument-paper-unmeasured" }
  /** The palest step of colours without bare paper was taken as zero. */
  | { readonly code: "instrument-zero-from-steps" }
  /** The numbers were measured under another light or observer than D50 and 2 degrees. */
  | { readonly code: "instrument-other-light" }
  /** The steps come in the other order than the tablet's. */
  | { readonly code: "instrument-reversed" }
  /** Camera minus instrument. */
  | {
      readonly code: "instrument-and-camera";
      readonly rmsDensity: number;
      readonly worstDensity: number;
      readonly worstStep: number;
      readonly ratio: number;
    };

export type InstrumentTrouble =
  | { readonly code: "instrument-no-data" }
  | { readonly code: "instrument-no-known-field" }
  /** A line of the text, from 1. */
  | { readonly code: "instrument-bad-line"; readonly line: number }
  /** How many measurements the file's head tells of, and how many rows its values make. */
  | { readonly code: "instrument-rows"; readonly told: number; readonly found: number }
  | { readonly code: "instrument-count"; readonly samples: number; readonly steps: number }
  | { readonly code: "instrument-impossible"; readonly sample: number }
  | { readonly code: "instrument-of-sheet" }
  | { readonly code: "instrument-other-channel"; readonly measured: "red" | "visual" };

export const instrumentTrouble = (trouble: InstrumentTrouble): TroubleError<InstrumentTrouble> =>
  new TroubleError("bad-request", trouble, { field: "instrument.text" });
