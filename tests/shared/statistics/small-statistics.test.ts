import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { fewRunsProbability } from "#shared/statistics/runs-test.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

const seed = Number(process.env["FC_SEED"] ?? 1);

describe("studentT95", () => {
  // Printed table of Student's t, two-sided 95 %, three decimals: from memory, the same in every statistics handbook.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [5, 2.571],
    [10, 2.228],
    [20, 2.086],
    [30, 2.042],
    [120, 1.98],
  ])("%i degrees of freedom: %f", (freedom, printed) => {
    expect(Math.abs(studentT95(freedom) - printed)).toBeLessThan(0.0006);
  });
  it("without degrees of freedom, refuses", () => expect(() => studentT95(0)).toThrow(RangeError));
});

describe("isotonicRegression", () => {
  it("rises, keeps the weighted mean, and leaves rising values alone", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: -5, max: 5, noNaN: true }), fc.double({ min: 0.1, max: 9, noNaN: true })), {
          minLength: 1,
          maxLength: 40,
        }),
        (pairs) => {
          const values = pairs.map(([value]) => value);
          const weights = pairs.map(([, weight]) => weight);
          const fitted = isotonicRegression(values, weights);
          for (let i = 1; i < fitted.length; i++) expect(fitted[i]!).toBeGreaterThanOrEqual(fitted[i - 1]!);
          const total = (list: readonly number[]) => list.reduce((sum, value, i) => sum + value * weights[i]!, 0);
          expect(total(fitted)).toBeCloseTo(total(values), 6);
          const sorted = [...values].sort((a, b) => a - b);
          isotonicRegression(sorted, weights).forEach((value, i) => expect(value).toBeCloseTo(sorted[i]!, 9));
        },
      ),
      { seed, numRuns: 200 },
    );
  });
});

describe("monotoneCubic", () => {
  // The example data of the published paper (its table of a rising function with flat stretches), from memory.
  const x = [7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20];
  const y = [0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.94374, 0.998636, 0.999919, 0.999994];
  it("passes through the points and never overshoots on the published example", () => {
    const curve = monotoneCubic(x, y);
    x.forEach((at, i) => expect(monotoneCubicAt(curve, at)).toBeCloseTo(y[i]!, 12));
    let before = -1e-12;
    for (let at = 7.99; at <= 20; at += 0.01) {
      const value = monotoneCubicAt(curve, at);
      expect(value).toBeGreaterThanOrEqual(before - 1e-12);
      expect(value).toBeLessThanOrEqual(0.999994 + 1e-12);
      before = value;
    }
  });
  it("rises wherever the points rise", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0.05, max: 2, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true })), {
          minLength: 2,
          maxLength: 20,
        }),
        (gaps) => {
          let at = 0;
          let value = 0;
          const points = gaps.map(([dx, dy]) => [(at += dx), (value += dy)] as const);
          const curve = monotoneCubic(
            points.map(([a]) => a),
            points.map(([, b]) => b),
          );
          let before = Number.NEGATIVE_INFINITY;
          for (let i = 0; i <= 200; i++) {
            const here = monotoneCubicAt(curve, points[0]![0] + ((at - points[0]![0]) * i) / 200);
            expect(here).toBeGreaterThanOrEqual(before - 1e-9);
            before = here;
          }
        },
      ),
      { seed, numRuns: 200 },
    );
  });
  it("with x that does not rise, refuses", () => expect(() => monotoneCubic([0, 0], [1, 2])).toThrow(RangeError));
});

describe("fewRunsProbability", () => {
  it("is small for one long swing and large for alternating signs", () => {
    expect(fewRunsProbability([1, 1, 1, 1, 1, -1, -1, -1, -1, -1])).toBeLessThan(0.01);
    expect(fewRunsProbability([1, -1, 1, -1, 1, -1, 1, -1, 1, -1])).toBeGreaterThan(0.95);
  });
});

describe("seededRandom", () => {
  it("repeats itself for a seed and differs between seeds", () => {
    const draw = (s: number) => {
      const random = seededRandom(s);
      return Array.from({ length: 5 }, random.uniform);
    };
    expect(draw(4)).toEqual(draw(4));
    expect(draw(4)).not.toEqual(draw(5));
  });
  it("has the mean and spread it promises", () => {
    const random = seededRandom(11);
    const values = Array.from({ length: 50_000 }, random.normal);
    const mean = values.reduce((a, b) => a + b) / values.length;
    expect(Math.abs(mean)).toBeLessThan(0.02);
    expect(Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length)).toBeCloseTo(1, 1);
  });
});
