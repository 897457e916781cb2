// What tests that are taken together differ in, beside the print itself: batch, air and finish.
import type { Finish } from "#shared/studio-model/observation.ts";
import type { LookupWarning, Provenance } from "./lookup-facts.ts";
import type { TimedTest, WantedCombination } from "./lookup-input.ts";

/** Air that differs by more than this moves a time by a tenth of a stop or more [%]. common practice, no source */
const likeHumidityPercent = 15;
const finishes = ["acidWash", "peroxide", "oxidised"] as const satisfies readonly (keyof Finish)[];

/** Whether the tests were finished alike and coated in like air, as far as was noted. */
export function conditionWarnings(tests: readonly TimedTest[]): LookupWarning[] {
  const finish = finishes.filter((key) => new Set(tests.flatMap((test) => test.finish[key] ?? [])).size > 1);
  const humidities = tests.flatMap(({ humidityPercent }) => humidityPercent ?? []);
  const [driest, dampest] = [Math.min(...humidities), Math.max(...humidities)];
  const humidityPercent = dampest - driest > likeHumidityPercent ? ([driest, dampest] as const) : null;
  return finish.length === 0 && humidityPercent === null
    ? []
    : [{ code: "conditions-differ", finish, humidityPercent }];
}

/** Which batch the time is for, where one is kept. */
export function batchProvenance({ batch }: WantedCombination, tests: readonly TimedTest[]): Provenance[] {
  if (batch === null) return [];
  const { id, madeOn, lot } = batch;
  return [{ code: "of-batch", madeOn, lot, tests: tests.filter(({ batchId }) => batchId === id).length }];
}
