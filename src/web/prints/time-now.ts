// What the tests say by now of a print that was planned before and has not begun.
import { printStateOf } from "#shared/prints/procedure.ts";
import type { SavedPrint } from "#shared/schema/prints.ts";
import { planDisputedWords, timeMovedWords } from "#shared/words/print-words.ts";
import type { Tools } from "#src/studio/tools.ts";
import { adviceOfTests, areTestsDisputed } from "./form.ts";

/** A time that moved by less than this is not worth another run sheet [stops]. common practice, no source */
const worthSayingStops = 0.1;

/** Whether its tests contradict each other by now, or say another time than it was planned with. */
export function timeNowWarnings(tools: Pick<Tools, "store">, print: SavedPrint): string[] {
  const { lampId, supportId, coatingId, filmId, batchId, advice, steps } = print;
  if (advice == null || printStateOf(steps) !== "planned") return [];
  const values = { lampId, supportId, coatingId, filmId: filmId ?? "", batchId: batchId ?? "" };
  if (areTestsDisputed(tools, values)) return [planDisputedWords];
  const now = adviceOfTests(tools, values)?.seconds;
  return now !== undefined && Math.abs(Math.log2(now / advice.seconds)) >= worthSayingStops
    ? [timeMovedWords(now, advice.seconds)]
    : [];
}
