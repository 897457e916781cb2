import { describe, expect, it } from "vitest";
import { poolTests } from "#shared/exposure/pool-tests.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const test = (testId: string, logH: number, sigmaLogH = 0.02) => ({ testId, logH, sigmaLogH });

describe("poolTests", () => {
  it("of two equal tests, gives their mean, tighter than either", () => {
    const one = poolTests([test("a", 2.5)]);
    const two = poolTests([test("a", 2.5), test("b", 2.52)]);
    expect(two.logH).toBeCloseTo(2.51, 9);
    expect(two.upperLogH - two.lowerLogH).toBeLessThan(one.upperLogH - one.lowerLogH);
    expect(two.weights).toEqual([0.5, 0.5]);
  });
  it("gives the surer test more weight", () => {
    const pooled = poolTests([test("sure", 2.5, 0.01), test("unsure", 2.7, 0.15)]);
    expect(pooled.weights[0]!).toBeGreaterThan(0.8);
  });
  it("names a test that disagrees with the others, and widens the range", () => {
    const quiet = poolTests([test("a", 2.5), test("b", 2.51), test("c", 2.49), test("d", 2.5)]);
    const loud = poolTests([test("a", 2.5), test("b", 2.51), test("c", 2.49), test("d", 3.1)]);
    expect(quiet.oddTestIds).toEqual([]);
    expect(loud.oddTestIds).toEqual(["d"]);
    expect(loud.upperLogH - loud.lowerLogH).toBeGreaterThan(quiet.upperLogH - quiet.lowerLogH);
  });
  it("holds the true value about 95 times in 100 when repeats scatter as usual", () => {
    const random = seededRandom(9);
    let held = 0;
    const runs = 600;
    for (let run = 0; run < runs; run++) {
      const count = 1 + (run % 4);
      const pooled = poolTests(Array.from({ length: count }, (_, i) => test(String(i), 2 + 0.045 * random.normal() + 0.02 * random.normal())));
      if (pooled.lowerLogH <= 2 && 2 <= pooled.upperLogH) held++;
    }
    expect((100 * held) / runs).toBeGreaterThan(93);
    expect((100 * held) / runs).toBeLessThan(99);
  });
  it("of nothing, refuses", () => expect(() => poolTests([])).toThrow(RangeError));
});
