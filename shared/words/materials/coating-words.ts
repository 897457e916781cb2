// What is said about a sensitizer and its stock solutions.
import type { KeepingWarning } from "#shared/coating/keeping-facts.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { Batch } from "#shared/schema/materials.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

/** A batch as a list names it: "mixed 1 May 2026, lot 7". */
export function batchName({ madeOn, lot }: Pick<Batch, "madeOn" | "lot">): string {
  return `mixed ${formatDay(madeOn)}${lot === "" ? "" : `, lot ${lot}`}`;
}

const daysOfMonth = 30.44;

const keeping: Sentences<KeepingWarning> = {
  "old-sensitizer": ({ days }) =>
    `The mixed sensitizer was ${Math.floor(days)} days old; it usually keeps a couple of days. Older mixes are ` +
    "slower and stain the whites: mix fresh before trusting the time.",
  "batch-expired": ({ until, days }) =>
    `This batch was to keep until ${formatDay(until)}, ${Math.floor(days)} days before: mix fresh before trusting ` +
    "the time.",
  "old-stock": ({ name, days }) =>
    `The stock solution "${name}" was ${Math.floor(days / daysOfMonth)} months old; stock usually keeps about ` +
    "six. Look for mould or blue sediment, and make a new test if you go on using it.",
};

/** What to keep in mind with a solution. */
export const keepingWarningWords = (fact: KeepingWarning): string => sentenceOf(keeping, fact);
