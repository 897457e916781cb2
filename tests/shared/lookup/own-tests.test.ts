import { describe, expect, it } from "vitest";
import { ownTests } from "#shared/lookup/own-tests.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { plainObservation } from "../../support/studios/plain-observation.ts";

const halfStop = 0.5 * Math.log10(2);

/** Tests of one combination, a day each, slower by half a stop from one of them on. */
function tests(seed: number, scatter: number, count: number, changeAt = Infinity) {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, i) =>
    plainObservation({
      id: `t${i}`,
      atMs: i * 86_400_000,
      seen: {
        kind: "measured",
        logSeconds: 2.7 + scatter * random.normal() + 0.015 * random.normal() + (i >= changeAt ? halfStop : 0),
        sigma: 0.015,
      },
    }),
  );
}

describe("a change that is spoken of", () => {
  it("where nothing changes and prints scatter by 0.05, is one in few streams of 20 tests", () => {
    const streams = Array.from({ length: 40 }, (_, i) => tests(73_000 + i, 0.05, 20));
    const spoken = streams.filter((all) =>
      [6, 10, 14, 17, 20].some((count) => ownTests(all.slice(0, count))?.changedAtMs !== null),
    );
    // At 5 %, more than 5 of 40 speak in one of 70 runs.
    expect(spoken.length).toBeLessThanOrEqual(5);
  });

  it("after half a stop and three tests at a scatter of 0.02, is told with its day in nearly all", () => {
    const told = Array.from({ length: 40 }, (_, i) => ownTests(tests(74_000 + i, 0.02, 9, 6))?.changedAtMs ?? null);
    expect(told.filter((atMs) => atMs !== null).length).toBeGreaterThan(32);
    expect(told.filter((atMs) => atMs === 6 * 86_400_000).length).toBeGreaterThan(28);
  });
});
