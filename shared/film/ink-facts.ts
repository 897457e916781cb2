// What is worth knowing about an ink sheet, as codes. shared/words/negatives/ink-words.ts makes the sentences.

/** What an ink sheet's reading may carry besides the sheet's own warnings. */
export type InkReadingWarning = { readonly code: "ink-no-curve" };
