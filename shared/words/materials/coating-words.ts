// What is said about a sensitizer and its stock solutions.
import type { KeepingWarning } from "#shared/coating/keeping-facts.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const daysOfMonth = 30.44;

const keeping: Sentences<KeepingWarning> = {
  "old-sensitizer": ({ days }) =>
    `The mixed sensitizer was ${Math.floor(days)} days old; it usually keeps a couple of days. Older mixes are ` +
    "slower and stain the whites: mix fresh before trusting the time.",
  "old-stock": ({ name, days }) =>
    `The stock solution "${name}" was ${Math.floor(days / daysOfMonth)} months old; stock usually keeps about ` +
    "six. Look for mould or blue sediment, and make a new test if you go on using it.",
};

/** What to keep in mind with a solution. */
export const keepingWarningWords = (fact: KeepingWarning): string => sentenceOf(keeping, fact);
