// How the materials of two tests stand to each other by all their tests, from the studio's model.
import { circumstancesOf } from "#shared/lookup/studio-observations.ts";
import type { TestToCompare } from "#shared/lookup/compare-tests.ts";
import { shoulderShare } from "#shared/limits.ts";
import type { PooledTime } from "#shared/schema/comparisons.ts";
import type { Circumstances } from "#shared/studio-model/observation.ts";
import { predictRatio } from "#shared/studio-model/predict-ratio.ts";
import { studioModel } from "./studio-model.ts";
import type { Tools } from "./tools.ts";

type Materials = Pick<TestToCompare, "lamp" | "support" | "coating" | "channel" | "isUnderSun">;

/**
 * Time of the second's bare coating over the first's by all tests of both.
 * @returns null where both are of the same materials, neither was tested again, or the sun changed between them
 */
export function pooledTime(
  store: Tools["store"],
  first: Materials,
  second: Materials,
): Omit<PooledTime, "sentence"> | null {
  const kinds = ["lamp", "support", "coating"] as const;
  const isSame = kinds.every((kind) => first[kind].id === second[kind].id);
  if (isSame || first.channel !== second.channel || first.isUnderSun || second.isUnderSun) return null;
  const { fit, tests } = studioModel(store, first.channel);
  const countOf = (of: Materials): number =>
    fit.observations.filter(
      ({ lampId, supportId, coatingId, seen }) =>
        seen.kind === "measured" && lampId === of.lamp.id && supportId === of.support.id && coatingId === of.coating.id,
    ).length;
  const [firstTests, secondTests] = [countOf(first), countOf(second)];
  if (Math.min(firstTests, secondTests) < 1 || Math.max(firstTests, secondTests) < 2) return null;
  const atMs = Date.now();
  const bare = (of: Materials): Circumstances =>
    circumstancesOf({
      wanted: {
        lamp: store.lamps.get(of.lamp.id),
        support: store.supports.get(of.support.id),
        coating: store.coatings.get(of.coating.id),
        batch: null,
        film: null,
        targetShare: shoulderShare,
        distanceMm: null,
        lampHours: null,
      },
      tests,
      atMs,
    });
  const { logSeconds, lower, upper } = predictRatio(fit, bare(second), bare(first));
  return {
    timeRatio: { value: 10 ** logSeconds, lower: 10 ** lower, upper: 10 ** upper },
    firstTests,
    secondTests,
  };
}
