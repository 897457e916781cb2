// What the tests of one lamp tell of how its light falls off with distance.
import type { DistanceTest } from "#shared/lamp/distance-fit.ts";
import type { TimedTest } from "./lookup-input.ts";

/**
 * Times at known distances under a lamp, of the combination that has the most of them: only within one combination does
 * a longer time mean weaker light. Good tests that reach the deepest blue count; the film counts where it lay over the
 * tablet.
 */
export function testsAtDistances(tests: readonly TimedTest[], lampId: string): readonly DistanceTest[] {
  const groups = new Map<string, DistanceTest[]>();
  for (const test of tests) {
    if (test.lampId !== lampId || test.verdict !== "ok" || test.shoulderLogH === null || !test.lampDistanceMm) continue;
    const key = JSON.stringify([test.supportId, test.coatingId, test.filmInTest ? test.filmId : null]);
    const group = groups.get(key) ?? [];
    groups.set(key, [...group, { distanceMm: test.lampDistanceMm, logSeconds: test.shoulderLogH }]);
  }
  return [...groups.values()].sort((a, b) => b.length - a.length)[0] ?? [];
}
