// How a lamp has done over its hours, from every test made under it.
import { testsAtDistances } from "#shared/lookup/tests-at-distances.ts";
import { lampSpeeds } from "#shared/lookup/lamp-speeds.ts";
import { distanceFit, type DistanceFit, type DistanceTest } from "#shared/lamp/distance-fit.ts";
import { reciprocityUnder, type Reciprocity } from "#shared/lamp/reciprocity.ts";
import { lampAgeing, type LampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
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
    reciprocity: reciprocityUnder(store.lamps.get(lampId), atDistances),
    distance: fit === null ? null : { fit, tests: atDistances },
  };
}
