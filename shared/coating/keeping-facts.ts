// What is worth knowing about the age of solutions, as codes and numbers. `coating-words.ts` of shared/words makes the
// sentences.

/** A batch past the day until which it was said to keep. */
export interface BatchExpired {
  readonly code: "batch-expired";
  /** Year-month-day. */
  readonly until: string;
  readonly days: number;
}

/** Facts about solutions past their usual keeping time. */
export type KeepingWarning =
  | { readonly code: "old-sensitizer"; readonly days: number }
  | BatchExpired
  | { readonly code: "old-stock"; readonly name: string; readonly days: number };
