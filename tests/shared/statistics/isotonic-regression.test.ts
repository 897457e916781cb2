import { describe, expect, it } from "vitest";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

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
});
