import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { theilSenTrend } from "#shared/statistics/theil-sen.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

const numbers = (text: string | undefined): number[] => (text ?? "").split(" ").map(Number);

describe("Theil-Sen trend", () => {
  it.each(referenceTable("theil-sen", 4).map((row) => [row["set"] ?? "", row] as const))(
    "of %s agrees with the general statistics library",
    (_name, row) => {
      const trend = theilSenTrend(numbers(row["x"]), numbers(row["y"]))!;
      for (const [column, value] of [
        ["slope", trend.slope],
        ["intercept", trend.intercept],
        ["lower", trend.lowerSlope],
        ["upper", trend.upperSlope],
      ] as const) {
        const expected = numberIn(row, column);
        expect(Math.abs(value - expected)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(expected)));
      }
    },
  );

  it("of points on a line, is the line", () => {
    const point = fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 }));
    fc.assert(
      fc.property(
        point,
        fc.uniqueArray(fc.integer({ min: 0, max: 1000 }), { minLength: 3, maxLength: 20 }),
        ([slope, intercept], x) => {
          const trend = theilSenTrend(
            x,
            x.map((each) => intercept + slope * each),
          )!;
          expect([trend.slope, trend.intercept, trend.lowerSlope, trend.upperSlope].map((value) => value + 0)).toEqual([
            slope,
            intercept,
            slope,
            slope,
          ]);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
  });

  it("of one x alone, does not exist", () => {
    expect(theilSenTrend([5, 5, 5], [1, 2, 3])).toBeNull();
    expect(theilSenTrend([], [])).toBeNull();
    expect(() => theilSenTrend([1, 2], [1])).toThrow(RangeError);
  });
});
