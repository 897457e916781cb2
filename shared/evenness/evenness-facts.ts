// What is worth knowing about the map of a lamp's light, as codes and numbers. shared/words/evenness-words.ts makes the sentences.

/** Facts about a map. */
export type EvennessWarning =
  /** How much the picture's own light differs over the area. */
  | { readonly code: "light-uneven"; readonly stops: number }
  | { readonly code: "places-left-out"; readonly count: number; readonly of: number }
  /** Shares (0-1) of the bed that the tablets span. */
  | { readonly code: "edges-not-measured"; readonly widthShare: number; readonly depthShare: number }
  | { readonly code: "no-paper" };
