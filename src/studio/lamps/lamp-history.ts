// How a lamp has done over its hours, from every test made under it.
import { lampSpeeds } from "#shared/lookup/lamp-speeds.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import { relativeIrradiance, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { distanceFit, type DistanceFit, type DistanceTest } from "#shared/lamp/distance-fit.ts";
import { reciprocityExponent, type Reciprocity } from "#shared/lamp/reciprocity.ts";
import { lampAgeing, type LampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import type { Tools } from "#src/studio/tools.ts";

export interface LampHistory {
  /** Of the combination that was tested under it at the most different hours. */
  readonly speeds: readonly LampSpeed[];
  readonly ageing: LampAgeing;
  /**
   * From tests of one combination at distances that differ by a factor of two in light; null without such tests or the
   * lamp's size.
   */
  readonly reciprocity: Reciprocity | null;
  /** How the time of one combination grows with the distance; null before it was tested at two distances. */
  readonly distance: { readonly fit: DistanceFit; readonly tests: readonly DistanceTest[] } | null;
}

/** Speeds of a lamp by its hours, judged by the red channel. */
export function lampHistory({ store }: Pick<Tools, "store">, lampId: string): LampHistory {
  const tests = store.tests.listTimed("red");
  const speeds = lampSpeeds(tests, lampId);
  const atDistances = testsAtDistances(tests, lampId);
  const fit = distanceFit(atDistances);
  return {
    speeds,
    ageing: lampAgeing(speeds),
    reciprocity: reciprocityOf(store.lamps.get(lampId), atDistances),
    distance: fit === null ? null : { fit, tests: atDistances },
  };
}

function reciprocityOf(lamp: Lamp, tests: readonly DistanceTest[]): Reciprocity | null {
  const shape = shapeOfLamp(lamp);
  if (shape === null) return null;
  return reciprocityExponent(
    tests.map(({ distanceMm, logSeconds }) => ({
      logIrradiance: Math.log10(relativeIrradiance(shape, distanceMm)),
      logSeconds,
    })),
  );
}

/** Of the combination with the most tests at known distances under this lamp. */
function testsAtDistances(tests: readonly TimedTest[], lampId: string): readonly DistanceTest[] {
  const groups = new Map<string, DistanceTest[]>();
  for (const test of tests) {
    if (test.lampId !== lampId || test.verdict !== "ok" || test.shoulderLogH === null || !test.lampDistanceMm) continue;
    const key = JSON.stringify([test.supportId, test.coatingId, test.filmInTest ? test.filmId : null]);
    const group = groups.get(key) ?? [];
    groups.set(key, [...group, { distanceMm: test.lampDistanceMm, logSeconds: test.shoulderLogH }]);
  }
  return [...groups.values()].sort((a, b) => b.length - a.length)[0] ?? [];
}
