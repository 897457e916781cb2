// What is said about a correction and the negative made with it.
import type { NegativeWarning } from "#shared/correction/correction-facts.ts";
import type { ProfileWarning } from "#shared/reading/reading-facts.ts";
import { profileSentences } from "./reading-words.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";

const negative: Sentences<NegativeWarning | ProfileWarning> = {
  ...profileSentences,
  "picture-coarse": ({ picturePixelsPerInch }) =>
    `The picture has ${Math.round(picturePixelsPerInch)} pixels per inch of this print, so it will look soft. A larger original or a smaller print would be crisper; more dots per inch do not help.`,
};

/** What to keep in mind with a negative. */
export const negativeWarningWords = (fact: NegativeWarning | ProfileWarning): string => sentenceOf(negative, fact);
