import { describe, expect, it } from "vitest";
import { poolLogSeconds } from "#shared/lookup/pool-log-seconds.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const estimate = (logSeconds: number, sigma: number) => ({
  logSeconds,
  sigma,
  lower: 0,
  upper: 0,
  degreesOfFreedom: 15,
});

describe("several tests of one combination", () => {
  it("that agree are weighted by their certainty, but for the scatter from print to print never wholly", () => {
    const { estimate: pooled, doTestsDisagree } = poolLogSeconds([estimate(2.5, 0.01), estimate(2.51, 0.02)]);
    // By their own certainty alone 4 to 1: 2.502; with scatter between prints nearer to the middle.
    expect(pooled.logSeconds).toBeGreaterThan(2.502);
    expect(pooled.logSeconds).toBeLessThan(2.505);
    expect(pooled.sigma).toBeGreaterThan(0.01 / Math.sqrt(1.25));
    expect(doTestsDisagree).toBe(false);
  });

  it("one alone keeps its own range, by Student's factor", () => {
    const { estimate: alone } = poolLogSeconds([estimate(2.5, 0.01)]);
    // 2.131 for 15 degrees of freedom. Source: Student1908 (table).
    expect(alone.upper - 2.5).toBeCloseTo(0.01 * 2.1314, 5);
    expect(alone.sigma).toBe(0.01);
  });

  it("more of them never make the range wider when they agree", () => {
    const halves = [2, 3, 4, 6, 10].map((count) => {
      const { estimate: pooled } = poolLogSeconds(Array.from({ length: count }, () => estimate(2.5, 0.015)));
      return pooled.upper - pooled.logSeconds;
    });
    halves.slice(1).forEach((half, i) => expect(half).toBeLessThan(halves[i]!));
  });

  it("that disagree are taken almost alike, with a range over their scatter", () => {
    const { estimate: pooled, doTestsDisagree } = poolLogSeconds([
      estimate(2.4, 0.01),
      estimate(2.6, 0.02),
      estimate(2.5, 0.01),
    ]);
    expect(doTestsDisagree).toBe(true);
    expect(Math.abs(pooled.logSeconds - 2.5)).toBeLessThan(0.01);
    expect(pooled.sigma).toBeGreaterThan(0.03);
  });

  it.each([2, 3, 4, 6])(
    "%i of them hold the combination's true time about 19 times in 20, however prints scatter",
    (count) => {
      const studios = 600;
      const heldAt = [0.01, 0.02, 0.03, 0.045].map((scatter) => {
        let [held, width, needed] = [0, 0, 0];
        for (let seed = 1; seed <= studios; seed++) {
          const random = seededRandom(seed + 1000 * count);
          const sigmas = Array.from({ length: count }, () => 0.012 + 0.016 * random.uniform());
          const tests = sigmas.map((sigma) => {
            const chiSquare = Array.from({ length: 15 }, () => random.normal() ** 2).reduce(
              (sum, square) => sum + square,
              0,
            );
            return estimate(
              2.5 + scatter * random.normal() + sigma * random.normal(),
              sigma * Math.sqrt(chiSquare / 15),
            );
          });
          const { estimate: pooled } = poolLogSeconds(tests);
          if (pooled.lower <= 2.5 && 2.5 <= pooled.upper) held++;
          width += pooled.upper - pooled.lower;
          needed += 2 * 1.96 * Math.sqrt(1 / sigmas.reduce((sum, sigma) => sum + 1 / (sigma ** 2 + scatter ** 2), 0));
        }
        return { scatter, held: held / studios, tooWide: width / needed };
      });
      for (const { scatter, held, tooWide } of heldAt) {
        expect(held, `scatter ${scatter}`).toBeGreaterThan(0.9);
        // Against a studio that knew its scatter: with two or three tests of very even prints, that ignorance costs most.
        expect(tooWide, `scatter ${scatter}`).toBeLessThan(count === 2 ? 2.1 : count === 3 ? 1.8 : 1.65);
      }
      expect(heldAt.reduce((sum, { held }) => sum + held, 0) / heldAt.length).toBeGreaterThan(0.94);
    },
  );

  it("need at least one", () => {
    expect(() => poolLogSeconds([])).toThrow(RangeError);
  });
});
