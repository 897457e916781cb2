import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

const seed = Number(process.env["FC_SEED"] ?? 1);
const rows = referenceTable("isotonic-regression", 70);

describe("isotonicRegression", () => {
  it.each(["1", "2", "3", "4"])("of made-up set %s agrees with the general statistics library", (set) => {
    const of = rows.filter((row) => row["case"] === set);
    const fitted = isotonicRegression(
      of.map((row) => numberIn(row, "y")),
      of.map((row) => numberIn(row, "weight")),
    );
    expect(fitted).toHaveLength(of.length);
    fitted.forEach((value, index) => {
      const expected = numberIn(of[index]!, "fitted");
      expect(Math.abs(value - expected)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(expected)));
    });
  });

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
