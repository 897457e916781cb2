// What is said about one test: why this time, why this verdict, what to do next, and what to keep in mind.
import { formatFixed } from "#shared/format/number.ts";
import type { AdviceReason, AdviceWarning, TestAssessment } from "#shared/advice/advice-facts.ts";
import type { NextSheet } from "#shared/advice/next-sheet.ts";
import type { Assessment } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { plainTime } from "#shared/format/plain-time.ts";
import { negativeSentences } from "#shared/words/materials/film-words.ts";
import { inWords, sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** A chance in steps of five, never certain. */
const chancePercent = (chance: number): string => `${Math.min(95, Math.max(5, 5 * Math.round(chance * 20)))} %`;

const percent = (share: number): string => `${Math.round(share * 100)} %`;

const nextSheetWords: Readonly<Record<NextSheet, string>> = {
  "several-photos": "two more photos of this print, one lighter and one darker (no new sheet)",
  "grey-patches": "a photo of this print beside grey patches of known density (no new sheet)",
  "repeat-today": "the same test once more today",
  "another-day": "the same test once more on another day",
  "coat-wider":
    "a sheet coated wider than the tablet on both long sides, so that the picture shows the blue beside the strip",
  "head-to-tail":
    "a sheet with two strips of the tablet beside each other, head to tail, which cancels the coating's slope",
  "calibrate-tablet":
    "a sheet with the tablet printed twice, for one time and for twice that, which calibrates it in your own light",
};

const warnings: Sentences<AdviceWarning> = {
  "print-wet":
    "The print was still wet. Wet prints read darker than they dry, so take the picture again when it is bone dry.",
  "print-not-oxidised":
    "The blue had not finished darkening. It deepens for about a day in air, or at once in very dilute peroxide; " +
    "a picture taken then gives the lasting answer.",
  "film-base-missing":
    "The density of this film's clear base is not known, so the time is for bare coating. Clear film often costs " +
    "1.1 to 1.6 times as long: enter its base density under films, or lay the same film over the tablet in the " +
    "test.",
  "no-film":
    "No film was chosen: the time is for light that reaches the bare coating. A negative on film takes longer; " +
    "choose the film to have its base counted in.",
  reciprocity:
    "A timed strip changes the time, a negative changes the light. Most coatings answer to both alike within a " +
    "tenth of a stop or two; a step tablet tests it the way a negative does.",
  "too-few-steps": ({ usable, of }) => `Only ${usable} of ${of} steps could be used.`,
  "strip-reversed":
    "The steps that should have got the least light are the darkest: the strip seems to be read from the wrong end.",
  "no-curve": "No curve could be drawn through the steps.",
  "wild-steps": ({ steps }) =>
    `Step ${steps.join(", ")} does not fit its neighbours (a spot, a hair, a streak?) and was left out of the curve.`,
  reversal: ({ steps }) =>
    `Steps ${steps.join(", ")} got more light but came out lighter: over-exposure turned them back. They were ` +
    "left out of the curve.",
  "toe-not-reached":
    "No step is close to paper white at its dense end, so the exposure range of the coating cannot be told from " +
    "this test.",
  "negative-too-thin": ({ findings }) => findings.map((each) => sentenceOf(negativeSentences, each)).join(" "),
};

/** What to keep in mind with a test. */
const adviceWarningWords = (fact: AdviceWarning): string => sentenceOf(warnings, fact);

const reasons: Sentences<AdviceReason> = {
  ...negativeSentences,
  "past-shoulder": "Even the least exposed step is already past the shoulder, so the time lies before this test.",
  "shoulder-beyond-strip": ({ targetShare }) =>
    `The strip stops before the shoulder: no step has reached ${percent(targetShare)} of the deepest blue, so the ` +
    "time lies beyond this test.",
  "still-darkening":
    "The darkest steps are still getting darker, so the deepest blue is not in this strip and the time cannot be told.",
  "steps-scatter":
    "The steps scatter so much that no time can be drawn from them. Coat a fresh sheet evenly, dry it flat and " +
    "repeat the test.",
  time: ({ seconds, lowerSeconds, upperSeconds, targetShare, isThroughFilm }) =>
    `${isThroughFilm ? "Clear film reaches" : "The bare coating reaches"} the shoulder, ${percent(targetShare)} ` +
    `of the deepest blue, after ${plainTime(seconds)}; 95 times in 100 the true time lies between ` +
    `${plainTime(lowerSeconds)} and ${plainTime(upperSeconds)}.`,
  "in-steps": ({ stopsShorter, deepestStep }) =>
    "In steps: " +
    (stopsShorter >= 0
      ? `${formatFixed(stopsShorter, 1)} stops shorter`
      : `${formatFixed(-stopsShorter, 1)} stops longer`) +
    " " +
    `than your test; its step ${deepestStep} becomes your deepest blue.`,
  compromise: ({ seconds, darkLost, lightLost }) =>
    `For the negative as it is, without a correction, about ${plainTime(seconds)}, no surer than the time above, ` +
    "loses equally at both ends: its " +
    `clearest parts stay ${formatFixed(darkLost, 0)} L* lighter than the deepest blue, its densest come out ` +
    `${formatFixed(lightLost, 0)} L* darker than paper white.`,
  "no-white-step":
    "The densest step is not white yet, so the lightest tones and the exposure range of the coating are not in " +
    "this test. The time does not depend on them.",
  "range-too-wide": ({ stops }) =>
    `The range is ${formatFixed(stops, 1)} stops to either side, too wide to print by. Coat evenly, keep the light ` +
    "even and repeat the test, or pool it with a second one.",
  "range-wide-but-flat": ({ stops, depthLost }) =>
    `The range is wide, ${formatFixed(stops, 1)} stops to either side, because the curve is so flat there: even if ` +
    "the true time is the longest of it, a print by the time above lacks no more than " +
    `${percent(depthLost)} of its depth.`,
  "over-exposed-end": ({ nextTestSeconds }) =>
    "Beyond the deepest blue the strip gets lighter again: it was over-exposed there, and those steps were left " +
    `out. The time can still be told; a test of ${plainTime(nextTestSeconds)} would show the shoulder better.`,
  "one-print": ({ lowerSeconds, upperSeconds }) =>
    "That range is about this print. The next print made alike will want its own time, 95 times in 100 between " +
    `${plainTime(lowerSeconds)} and ${plainTime(upperSeconds)}, with what is usual of scatter between prints ` +
    "(common practice, no source); a second test of another day shows by how much yours differ.",
  "head-to-tail": ({ share, sigmaShare }) =>
    "Read together with the strip that lay the other way round: the coating's slope along the sheet, " +
    `${formatFixed(Math.abs(share) * 100, 1)} % from the middle to an end (give or take ` +
    `${formatFixed(sigmaShare * 200, 1)}), is cancelled.`,
  "coating-beside": ({ share, sigmaShare }) =>
    "The blue coating beside the strip tells how the coating changes along it: " +
    `${formatFixed(Math.abs(share) * 100, 1)} % from the middle to an end (give or take ` +
    `${formatFixed(sigmaShare * 200, 1)}). That is allowed for.`,
  "next-sheet": ({ what, stops, stopsThen }) =>
    `What would tell most next: ${nextSheetWords[what]}. The next print's range, now ${formatFixed(stops, 2)} stop ` +
    `to either side, should then be about ${formatFixed(stopsThen, 2)}.`,
  guess: ({ seconds, lowerSeconds, upperSeconds }) =>
    `A guess, no time to print by: the shoulder may lie at about ${plainTime(seconds)}, somewhere between ` +
    `${plainTime(lowerSeconds)} and ${plainTime(upperSeconds)}.`,
  "hardly-any-blue":
    "Hardly any blue has formed on the strip, so the time cannot be told yet; it needs far more light. First make " +
    "sure that the coated side faced the lamp and that the lamp was on.",
  "all-full-blue": "Every step has the same deep blue: even the darkest part of the tablet let too much light through.",
  "next-test": ({ tablet, seconds, chance }) => {
    const odds = chance === null ? "" : ` It will show the shoulder with a chance of about ${chancePercent(chance)}.`;
    return tablet === "film"
      ? `Make the next test ${plainTime(seconds)} long.${odds}`
      : `Make the next strip with a longest step of ${plainTime(seconds)}, the others in the same proportion.${odds}`;
  },
  "sure-test": ({ tablet, seconds, chance }) =>
    tablet === "film"
      ? `If the lamp is free for so long, ${plainTime(seconds)} is nearly sure (about ${chancePercent(chance)}): a ` +
        "tablet loses nothing by a long test, since its denser steps stand for the shorter times."
      : `A longest step of ${plainTime(seconds)} is nearly sure (about ${chancePercent(chance)}).`,
  "too-few-good-steps": ({ needed }) =>
    `A curve needs at least ${needed} good steps, and this strip has fewer. Take a better picture, or use a strip ` +
    "with more steps.",
  "read-from-wrong-end":
    "The strip seems to be read from the wrong end. Turn the corners round so that step 1, the clearest or " +
    "longest exposed, comes first.",
  "no-rising-curve":
    "The steps follow no rising curve, so no time can be drawn from them. Check the corners and the kind of " +
    "tablet, or repeat the test on an even coating.",
  "tones-only": ({ exposureSeconds }) =>
    "This strip measures tones, not exposure: how much light each grey level of your film lets through is not " +
    "known yet, so no time can be drawn from it." +
    (exposureSeconds === null ? "" : ` It was exposed for ${plainTime(exposureSeconds)}.`),
  "tones-serve-for":
    "For the time, print a step tablet or a timed strip. For the next negative, use the correction of this test.",
};

/** Why this time, why this verdict, what to do next. */
const adviceReasonWords = (fact: AdviceReason): string => sentenceOf(reasons, fact);

/** An assessment as answers and records carry it: the reading's own warnings come first. */
export function assessmentInWords(assessment: TestAssessment, reading: Pick<Reading, "warnings">): Assessment {
  const { exposure, curve } = assessment;
  return {
    curve,
    exposure: { ...exposure, reasons: exposure.reasons.map(adviceReasonWords) },
    warnings: [...reading.warnings, ...inWords(assessment.warnings, adviceWarningWords)],
  };
}
