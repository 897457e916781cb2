// What is worth knowing about a film, as codes and numbers. shared/words/materials/film-words.ts makes the sentences.

/** Facts about a film measured by its print. */
export type FilmWarning =
  | { readonly code: "film-base-at-full-blue" }
  /** Half of the sheet's own time. */
  | { readonly code: "film-base-near-full-blue"; readonly halfSeconds: number }
  | { readonly code: "film-black-at-white" }
  | { readonly code: "film-levels-out-of-order" }
  | { readonly code: "film-other-print" };

/** How a film's range fits a coating, and what would mend it. */
export type NegativeFinding =
  | {
      readonly code: "shadows-blocked";
      readonly seconds: number;
      readonly stops: number;
      readonly rightSeconds: number;
    }
  | { readonly code: "shadows-weak"; readonly seconds: number; readonly stops: number; readonly rightSeconds: number }
  | { readonly code: "toe-unknown" }
  | { readonly code: "highlights-veiled"; readonly stops: number; readonly lightestDensity: number }
  | { readonly code: "more-ink" }
  /** What the second base costs. */
  | { readonly code: "two-films"; readonly timesExposure: number }
  /** Both in log exposure. */
  | { readonly code: "shorter-scale-coating"; readonly coatingRange: number; readonly negativeRange: number }
  | { readonly code: "highlights-empty"; readonly stops: number }
  | { readonly code: "longer-scale-coating" }
  | { readonly code: "film-suits" };
