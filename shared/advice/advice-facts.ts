// What the advice on one test has to say, as codes and numbers. shared/words/tests/advice-words.ts makes the sentences.
import type { Curve, ExposureAdvice } from "#shared/schema/curve.ts";
import type { NextSheet } from "./next-sheet.ts";
import type { NegativeFinding } from "#shared/film/film-facts.ts";

/** Facts about a test that its maker should know; each code stays as it is once it is out. */
export type AdviceWarning =
  | { readonly code: "print-wet" }
  | { readonly code: "print-not-oxidised" }
  | { readonly code: "film-base-missing" }
  | { readonly code: "no-film" }
  | { readonly code: "reciprocity" }
  | { readonly code: "too-few-steps"; readonly usable: number; readonly of: number }
  | { readonly code: "strip-reversed" }
  | { readonly code: "no-curve" }
  /** Numbers of the steps, rising. */
  | { readonly code: "wild-steps"; readonly steps: readonly number[] }
  | { readonly code: "reversal"; readonly steps: readonly number[] }
  | { readonly code: "toe-not-reached" }
  | { readonly code: "negative-too-thin"; readonly findings: readonly NegativeFinding[] };

/** Why this time, why this verdict, what to do next. Their codes stay inside the program. */
export type AdviceReason =
  | { readonly code: "past-shoulder" }
  | { readonly code: "shoulder-beyond-strip"; readonly targetShare: number }
  | { readonly code: "still-darkening" }
  | { readonly code: "steps-scatter" }
  | {
      readonly code: "time";
      readonly seconds: number;
      readonly lowerSeconds: number;
      readonly upperSeconds: number;
      readonly targetShare: number;
      readonly isThroughFilm: boolean;
    }
  /**
   * In whole steps of the test: how many stops shorter (or longer, below 0) than it, and the step that becomes the
   * deepest.
   */
  | { readonly code: "in-steps"; readonly stopsShorter: number; readonly deepestStep: number }
  | { readonly code: "compromise"; readonly seconds: number; readonly darkLost: number; readonly lightLost: number }
  | { readonly code: "no-white-step" }
  /** Half the 95 % range. */
  | { readonly code: "range-too-wide"; readonly stops: number }
  /** The same, where even at its end the print lacks little: share (0-1) of net D-max. */
  | { readonly code: "range-wide-but-flat"; readonly stops: number; readonly depthLost: number }
  | { readonly code: "over-exposed-end"; readonly nextTestSeconds: number }
  /** The range of the next print. */
  | { readonly code: "one-print"; readonly lowerSeconds: number; readonly upperSeconds: number }
  /** Two strips head to tail were read together: the coating's slope that they showed, middle to end, shares. */
  | { readonly code: "head-to-tail"; readonly share: number; readonly sigmaShare: number }
  /** The coating beside the strip was seen: the slope that it showed, middle to end, shares. */
  | { readonly code: "coating-beside"; readonly share: number; readonly sigmaShare: number }
  /** What tells most next: half the next print's range now, and as it is then expected to be. */
  | { readonly code: "next-sheet"; readonly what: NextSheet; readonly stops: number; readonly stopsThen: number }
  /** Where the shoulder probably lies, give or take a factor of two. */
  | {
      readonly code: "guess";
      readonly seconds: number;
      readonly lowerSeconds: number;
      readonly upperSeconds: number;
    }
  | { readonly code: "hardly-any-blue" }
  | { readonly code: "all-full-blue" }
  /** For a timed strip, the time of its longest step; chance (0-1) of a good test, null where it is not known. */
  | {
      readonly code: "next-test";
      readonly tablet: "film" | "timed strip";
      readonly seconds: number;
      readonly chance: number | null;
    }
  | {
      readonly code: "sure-test";
      readonly tablet: "film" | "timed strip";
      readonly seconds: number;
      readonly chance: number;
    }
  | { readonly code: "too-few-good-steps"; readonly needed: number }
  | { readonly code: "read-from-wrong-end" }
  | { readonly code: "no-rising-curve" }
  | { readonly code: "tones-only"; readonly exposureSeconds: number | null }
  | { readonly code: "tones-serve-for" }
  | NegativeFinding;

/** Advice before it is put into words. */
export type AdviceWithReasons = Omit<ExposureAdvice, "reasons"> & { readonly reasons: readonly AdviceReason[] };

/** What one reading and the way it was exposed lead to. */
export interface TestAssessment {
  readonly curve: Curve | null;
  readonly exposure: AdviceWithReasons;
  /** Of the assessment; those of the reading stand with the reading. */
  readonly warnings: readonly AdviceWarning[];
}
