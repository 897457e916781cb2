// What is worth knowing about the map of a lamp's light, as codes and numbers.
// `evenness-words.ts` of shared/words makes the sentences.
import { TroubleError } from "#shared/errors.ts";

/** Facts about a map. */
export type EvennessWarning =
  /** How much the picture's own light differs over the area. */
  | { readonly code: "light-uneven"; readonly stops: number }
  | { readonly code: "places-left-out"; readonly count: number; readonly of: number }
  /** Shares (0-1) of the bed that the tablets span. */
  | { readonly code: "edges-not-measured"; readonly widthShare: number; readonly depthShare: number }
  | { readonly code: "no-paper" };

/** Why a print gives no map. Tablets are numbered from 1, in the order of the request. */
export type EvennessTrouble =
  | { readonly code: "tablets-in-line" }
  | { readonly code: "middle-tablet-without-curve"; readonly tablet: number }
  | { readonly code: "tablet-without-middle-blue"; readonly tablet: number }
  /**
   * Share (0-1) of the area that tells nothing, and the time of a middle blue without a film [s]; null where the curve
   * has none.
   */
  | { readonly code: "blue-tells-nothing"; readonly share: number; readonly middleSeconds: number | null };

/** An error that carries such a trouble. */
export function evennessTrouble(trouble: EvennessTrouble, field: string): TroubleError {
  return new TroubleError("evenness-unknown", trouble, { field });
}
