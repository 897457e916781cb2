import { describe, expect, it } from "vitest";
import { poolLogSeconds } from "#shared/exposure/pool-log-seconds.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const estimate = (logSeconds: number, sigma: number) => ({ logSeconds, sigma, lower: 0, upper: 0, degreesOfFreedom: 15 });

describe("several tests of one combination", () => {
  it("that agree are weighted by their certainty", () => {
    const { estimate: pooled, doTestsDisagree } = poolLogSeconds([estimate(2.5, 0.01), estimate(2.51, 0.02)]);
    // Weights 4 to 1.
    expect(pooled.logSeconds).toBeCloseTo(2.502, 10);
    expect(pooled.sigma).toBeCloseTo(0.01 / Math.sqrt(1.25), 10);
    expect(doTestsDisagree).toBe(false);
  });

  it("that disagree are taken almost alike, with a range over their scatter", () => {
    const { estimate: pooled, doTestsDisagree } = poolLogSeconds([estimate(2.4, 0.01), estimate(2.6, 0.02), estimate(2.5, 0.01)]);
    expect(doTestsDisagree).toBe(true);
    expect(Math.abs(pooled.logSeconds - 2.5)).toBeLessThan(0.01);
    expect(pooled.sigma).toBeGreaterThan(0.03);
  });

  it("without scatter of their own hold the truth 19 times in 20", () => {
    const random = seededRandom(3);
    let held = 0;
    for (let n = 0; n < 600; n++) {
      const { estimate: pooled } = poolLogSeconds([0.01, 0.02, 0.03].map((sigma) => estimate(2.5 + sigma * random.normal(), sigma)));
      if (pooled.lower <= 2.5 && 2.5 <= pooled.upper) held++;
    }
    expect(held / 600).toBeGreaterThan(0.94);
    expect(held / 600).toBeLessThan(0.985);
  });

  it("need at least one", () => {
    expect(() => poolLogSeconds([])).toThrow(RangeError);
  });
});
