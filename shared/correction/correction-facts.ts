// What is worth knowing about a correction and the negative made with it, as codes and numbers. shared/words/correction-words.ts
// makes the sentences.

/** Facts about a negative in the making. */
export type NegativeWarning =
  /** Pixels of the picture for each inch of the print. */
  { readonly code: "picture-coarse"; readonly picturePixelsPerInch: number };
