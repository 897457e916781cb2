// What is worth knowing about the age of solutions, as codes and numbers. `coating-words.ts` of shared/words makes the
// sentences.

/** Facts about solutions past their usual keeping time. */
export type KeepingWarning =
  | { readonly code: "old-sensitizer"; readonly days: number }
  | { readonly code: "batch-expired"; readonly until: string; readonly days: number }
  | { readonly code: "old-stock"; readonly name: string; readonly days: number };

/** A batch past the day until which it was said to keep (year-month-day). */
export type BatchExpired = Extract<KeepingWarning, { readonly code: "batch-expired" }>;
