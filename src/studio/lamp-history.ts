// How a lamp has done over its hours, from every test made under it.
import { lampSpeeds, type TimedTest } from "#shared/lookup/exposure-for-combination.ts";
import { relativeIrradiance, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { reciprocityExponent, type Reciprocity, type ReciprocityTest } from "#shared/lamp/reciprocity.ts";
import { lampAgeing, type LampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import type { Tools } from "./tools.ts";

export interface LampHistory {
  /** Of the combination that was tested under it at the most different hours. */
  readonly speeds: readonly LampSpeed[];
  readonly ageing: LampAgeing;
  /** From tests of one combination at distances that differ by a factor of two in light; null without such tests or the lamp's size. */
  readonly reciprocity: Reciprocity | null;
}

/** Speeds of a lamp by its hours, judged by the red channel. */
export function lampHistory({ store }: Pick<Tools, "store">, lampId: string): LampHistory {
  const tests = store.tests.listTimed("red");
  const speeds = lampSpeeds(tests, lampId);
  return { speeds, ageing: lampAgeing(speeds), reciprocity: reciprocityOf({ store }, lampId, tests) };
}

/** The combination with the most tests at known distances decides. */
function reciprocityOf(
  { store }: Pick<Tools, "store">,
  lampId: string,
  tests: readonly TimedTest[],
): Reciprocity | null {
  const shape = shapeOfLamp(store.lamps.get(lampId));
  if (shape === null) return null;
  const groups = new Map<string, ReciprocityTest[]>();
  for (const test of tests) {
    if (test.lampId !== lampId || test.verdict !== "ok" || test.shoulderLogH === null || !test.lampDistanceMm) continue;
    const key = JSON.stringify([test.supportId, test.coatingId, test.filmInTest ? test.filmId : null]);
    groups.set(key, [
      ...(groups.get(key) ?? []),
      { logIrradiance: Math.log10(relativeIrradiance(shape, test.lampDistanceMm)), logSeconds: test.shoulderLogH },
    ]);
  }
  const [most] = [...groups.values()].sort((a, b) => b.length - a.length);
  return most === undefined ? null : reciprocityExponent(most);
}
