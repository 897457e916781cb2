// What is found about a strip that fades.

/** Why a step's readings make no curve. */
export type FadingRefusal =
  | { readonly code: "too-few-readings"; readonly readings: number; readonly needed: number }
  | { readonly code: "too-few-stages"; readonly stages: number; readonly needed: number }
  | { readonly code: "step-too-pale"; readonly density: number };

/** What is said of one later reading. */
export type LaterReadingWarning = { readonly code: "not-read-anew"; readonly detail: string };

/** What a series cannot tell, or tells with a doubt. */
export type FadingWarning =
  | { readonly code: "washes-and-light-together" }
  | { readonly code: "beyond-readings"; readonly asked: number; readonly measuredTo: number }
  | { readonly code: "no-loss-told"; readonly steps: readonly number[] }
  /** `scatter`: how many times further than they should the readings of the worst step lie from its curve. */
  | { readonly code: "not-by-halves"; readonly steps: readonly number[]; readonly scatter: number }
  | { readonly code: "one-photo-each" };
