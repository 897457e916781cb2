// What to keep in mind with a sun plan besides its own notes, as codes: found where its anchors and its clock are
// chosen. shared/words/sun/sun-reasons.ts makes the sentences.
import type { NoAnchorReason } from "./anchors/anchor-test.ts";

/** A test that was named as an anchor and cannot be one. */
export interface UnfitAnchor {
  readonly name: string;
  readonly reason: NoAnchorReason | "no-light";
}

export type SunPlanWarning =
  | { readonly code: "haze-not-fitted" }
  | { readonly code: "haze-at-bound" }
  | { readonly code: "anchors-differ" }
  | { readonly code: "clock-does-not-fit" }
  | { readonly code: "anchor-left-out"; readonly name: string; readonly reason: UnfitAnchor["reason"] };
