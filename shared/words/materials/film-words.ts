// What is said about a film and how it fits a coating.
import { formatFixed } from "#shared/format/number.ts";
import type { FilmWarning, NegativeFinding } from "#shared/film/film-facts.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const warnings: Sentences<FilmWarning> = {
  "film-base-at-full-blue":
    "The clearest film printed at full blue, where more light makes no difference: its base density is only known " +
    "to be no more than this. Expose the sheet for a shorter time beside the tablet.",
  "film-base-near-full-blue": ({ halfSeconds }) =>
    "The clearest film printed close to full blue, where light changes little: its base density is not sure. Tablet " +
    `and sheet exposed for half the time, ${plainTime(halfSeconds)}, tell it about twice as surely.`,
  "film-black-at-white":
    "The densest black kept the paper white, so it is only known to be at least this dense. That is enough for " +
    "this coating; a longer exposure would measure it.",
  "film-levels-out-of-order":
    "Some darker grey levels let more light through than lighter ones. The coating may be uneven, or the printer " +
    "may have run out of ink; replicates of the sheet help.",
  "film-other-print":
    "The tablet was printed at another time than this strip. Two prints of one coating differ by more than the " +
    "stated uncertainty, and the difference is taken for film here: print tablet and strip side by side to be " +
    "sure.",
};

/** What to know about a film that was measured by its print. */
export const filmWarningWords = (fact: FilmWarning): string => sentenceOf(warnings, fact);

/** How the film's range fits the coating, and what would mend it. */
export const negativeSentences: Sentences<NegativeFinding> = {
  "shadows-blocked": ({ seconds, stops, rightSeconds }) =>
    `At ${plainTime(seconds)} clear film gets ${formatFixed(stops, 1)} stops more than it needs: the darkest tones ` +
    `run together. A shorter time, ${plainTime(rightSeconds)}, would part them.`,
  "shadows-weak": ({ seconds, stops, rightSeconds }) =>
    `At ${plainTime(seconds)} clear film gets ${formatFixed(stops, 1)} stops too little: the deepest blue is not ` +
    `reached. Give it ${plainTime(rightSeconds)}.`,
  "toe-unknown":
    "The test does not show where the coating begins to print, so the highlights cannot be judged. A tablet with " +
    "denser steps, or a shorter test, would show it.",
  "highlights-veiled": ({ stops, lightestDensity }) =>
    `The densest black of this film holds back too little: whites are veiled by ${formatFixed(stops, 1)} stops and ` +
    `print at density ${formatFixed(Math.max(0, lightestDensity), 2)}.`,
  "more-ink":
    "Print the negative with more ink, or in an ink colour that blocks ultraviolet better; a wedge sheet beside a " +
    "step tablet shows which.",
  "two-films": ({ timesExposure }) =>
    `Two of these films stacked would do it, at ${formatFixed(timesExposure, 2)} times the exposure for the second ` +
    "base.",
  "shorter-scale-coating": ({ coatingRange, negativeRange }) =>
    `Or take a coating with a shorter scale: this one spans ${formatFixed(coatingRange, 2)}, the film ` +
    `${formatFixed(negativeRange, 2)} in log exposure.`,
  "highlights-empty": ({ stops }) =>
    `The film can hold back ${formatFixed(stops, 1)} stops more than the coating can show. The tone correction takes ` +
    "that up; without it the lightest tones print as bare paper, and a longer time that brings them back blocks " +
    "the shadows.",
  "longer-scale-coating": "A coating with a longer scale would use more of the film.",
  "film-suits":
    "The film suits the coating: its densest black keeps the paper white while its clear base reaches the deepest " +
    "blue.",
};
