// What each verdict is called on a page. The word carries the meaning; icon and colour only follow it.
import type { Verdict } from "#shared/schema/curve.ts";

export interface VerdictWords {
  readonly tone: "ok" | "caution" | "stop";
  readonly word: string;
  readonly text: string;
}

export const verdictWords: Readonly<Record<Verdict, VerdictWords>> = {
  ok: {
    tone: "ok",
    word: "Good test",
    text: "The strip runs from paper white to its deepest blue, so the time can be read from it.",
  },
  "test-too-short": {
    tone: "caution",
    word: "Test too short",
    text:
      "The darkest step has not reached the deepest blue of this paper and coating. Make another test with the " +
      "longer time.",
  },
  "test-too-long": {
    tone: "caution",
    word: "Test too long",
    text: "Too few steps lie in the tones between white and deepest blue. Make another test with the shorter time.",
  },
  reversal: {
    tone: "caution",
    word: "Over-exposed steps",
    text:
      "The most exposed steps have turned lighter again. They are left out; the time is read from the steps before " +
      "the turn.",
  },
  unreliable: {
    tone: "stop",
    word: "Not to be relied on",
    text: "The measurements do not make one clear curve. Look at the reasons and the picture, then test again.",
  },
};

/** Warnings that the steps may not have been counted in their right place. */
export const placeWarnings: ReadonlySet<string> = new Set([
  "location-uncertain",
  "looks-like-other-count",
  "corners-doubted",
  "paper-falls-along",
]);

/** A good test, as far as its steps are the declared ones. */
export const goodIfInPlace: VerdictWords = {
  tone: "caution",
  word: "Good test, if the steps are in their place",
  text:
    "The strip runs from paper white to its deepest blue. Before you use the time, look at the boxes on the " +
    "picture: does every step have one, and is the number of steps the one that the tablet has?",
};

/** A good test whose densest step is not white yet. */
export const goodForTime: VerdictWords = {
  tone: "ok",
  word: "Good test for the time",
  text: "The strip reaches its deepest blue, so the time can be read from it. Its lightest tones are not in it.",
};

/** A strip of grey levels or a wedge sheet that reads well: it is there for tones, not for a time. */
export const goodForTones: VerdictWords = {
  tone: "ok",
  word: "Good print for a tone curve",
  text:
    "Its grey levels were read. It measures the tones of film, light and coating together, and gives no exposure " +
    "time.",
};

/** Remarks that change nothing about the answer; they stand below it. Everything else stands beside it. */
const minorWarnings = new Set([
  "profile-missing",
  "profile-tables",
  "profile-unreadable",
  "light-uneven",
  "corners-reordered",
  "corners-settled",
  "instrument-scale",
  "instrument-and-camera",
]);

export function isMinorWarning(code: string): boolean {
  return minorWarnings.has(code);
}
