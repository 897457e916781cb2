// What is said about a plan on cloth, and about a strip that fades.
import { formatLength } from "#shared/format/length.ts";
import { formatDensity, formatFixed } from "#shared/format/number.ts";
import type { ClothWarning } from "#shared/prints/cloth/cloth-facts.ts";
import type { FadingRefusal, FadingWarning, LaterReadingWarning } from "#shared/prints/fading-facts.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const cloth: Sentences<ClothWarning> = {
  "shrinkage-not-measured":
    "How much this cloth shrinks is not measured both ways, so a size is given as if it kept its length. Mark two " +
    "points on a piece, wash it as you will wash the print, and measure again.",
  "coating-use-not-logged":
    "No print on this cloth has both its coated area and its sensitizer logged, so the coating is not reckoned. " +
    "Enter them with your next print.",
  "cloth-width-unknown": "The width of the cloth is not known, so one piece is laid in each row.",
  "piece-wider-than-cloth": ({ widthMm, clothWidthMm }) =>
    `A piece is cut ${formatLength(widthMm)} wide, and the cloth has ${formatLength(clothWidthMm)}: turn it, or make ` +
    "it smaller.",
};

export const clothWarningWords = (fact: ClothWarning): string => sentenceOf(cloth, fact);

const stepWords = (steps: readonly number[]): string => `${steps.length === 1 ? "step" : "steps"} ${steps.join(", ")}`;

const fading: Sentences<FadingWarning> = {
  "washes-and-light-together":
    "Both the washes and the days in light grew in this series, so no loss can be put down to one of them. Keep one " +
    "strip for the wash and another for the light.",
  "beyond-readings": ({ asked, measuredTo }) =>
    `Nothing was measured beyond ${formatFixed(measuredTo, 0)}: what is said of ${formatFixed(asked, 0)} carries the ` +
    "curve on, and a print may do otherwise.",
  "no-loss-told": ({ steps }) =>
    `The loss of ${stepWords(steps)} cannot be told from none. More washes, or more photos of each stage, would tell.`,
  "not-by-halves": ({ steps, scatter }) =>
    `The readings of ${stepWords(steps)} lie up to ${formatFixed(scatter, 1)} times as far from the curve as they ` +
    "should, so the loss may not go by equal shares. The ranges are widened by that much.",
  "one-photo-each":
    "Each stage rests on its own photo: light and camera may shift all steps of one photo together. Photograph all " +
    "stages in the same light, best beside a strip that is kept unwashed in the dark.",
};

export const fadingWarningWords = (fact: FadingWarning): string => sentenceOf(fading, fact);

const laterReading: Sentences<LaterReadingWarning> = {
  "not-read-anew": ({ detail }) =>
    "The test's tablet was changed, and this picture could not be read by it: its densities are those of before. " +
    `${detail} Show where the strip lies in it.`,
};

export const laterReadingWords = (fact: LaterReadingWarning): string => sentenceOf(laterReading, fact);

const refusals: Sentences<FadingRefusal> = {
  "too-few-readings": ({ readings, needed }) =>
    `${readings} ${readings === 1 ? "reading makes" : "readings make"} no curve: it takes ${needed}, so that one can ` +
    "disagree.",
  "too-few-stages": ({ needed }) =>
    `All readings are of one stage: photograph the strip again later, so that there are ${needed} or more.`,
  "step-too-pale": ({ density }) => `At density ${formatDensity(density)} it is too pale to tell a loss.`,
};

export const fadingRefusalWords = (fact: FadingRefusal): string => sentenceOf(refusals, fact);
