import { describe, expect, it } from "vitest";
import { coverageOf, volumeMlForArea } from "#shared/coating/coverage.ts";
import { batchKeepingWarnings, keepingWarnings } from "#shared/coating/keeping.ts";
import { keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import { defaultRecipes, scaledRecipe } from "#shared/coating/recipe.ts";

describe("scaledRecipe", () => {
  it("when the volume is a quarter, quarters every amount and keeps the units", () => {
    const recipe = defaultRecipes[0]!.recipe;
    const scaled = scaledRecipe(recipe, recipe.volumeMl / 4);
    expect(scaled.volumeMl).toBe(50);
    expect(scaled.lines.map((line) => line.amount)).toEqual([6.25, 2.5, 50]);
    expect(scaled.lines.map((line) => line.unit)).toEqual(recipe.lines.map((line) => line.unit));
  });

  it("when the volume is nothing, refuses", () => {
    expect(() => scaledRecipe(defaultRecipes[0]!.recipe, 0)).toThrow(RangeError);
  });
});

describe("keepingWarnings", () => {
  const usedAt = "2026-06-10T12:00:00Z";

  it("when everything is fresh or unknown, says nothing", () => {
    expect(keepingWarnings({ usedAt, mixedAt: "2026-06-09", stocks: [{ name: "A", madeOn: "2026-02-01" }] })).toEqual(
      [],
    );
    expect(keepingWarnings({ usedAt, mixedAt: null, stocks: [] })).toEqual([]);
  });

  it("when the mix is five days old, says so with its age", () => {
    const [warning] = keepingWarnings({ usedAt, mixedAt: "2026-06-05T10:00:00Z", stocks: [] });
    expect(warning?.code).toBe("old-sensitizer");
    expect(keepingWarningWords(warning!)).toContain("5 days");
  });

  it("when a batch is past the day it was to keep, says so; a day of grace, and none where nobody said", () => {
    const batch = { madeOn: "2026-06-01", keepsDays: 7 };
    expect(batchKeepingWarnings(batch, "2026-06-09T00:00:00Z")).toEqual([]);
    expect(batchKeepingWarnings(batch, "2026-06-11T00:00:00Z")).toEqual([
      { code: "batch-expired", until: "2026-06-08", days: 3 },
    ]);
    expect(batchKeepingWarnings({ ...batch, keepsDays: null }, usedAt)).toEqual([]);
    expect(batchKeepingWarnings(null, usedAt)).toEqual([]);
  });

  it("when a stock solution is older than half a year, names it", () => {
    const [warning, more] = keepingWarnings({
      usedAt,
      mixedAt: null,
      stocks: [
        { name: "Bottle B", madeOn: "2025-09-01" },
        { name: "Bottle A", madeOn: "2026-06-01" },
      ],
    });
    expect(warning?.code).toBe("old-stock");
    expect(keepingWarningWords(warning!)).toContain("Bottle B");
    expect(more).toBeUndefined();
  });
});

describe("coverageOf", () => {
  it("when three prints were logged, gives the median and the extremes", () => {
    const coverage = coverageOf([
      { areaCm2: 600, coatingMl: 6 },
      { areaCm2: 600, coatingMl: 5 },
      { areaCm2: 600, coatingMl: 8 },
    ]);
    expect(coverage).toEqual({ areaCm2PerMl: 100, lowerCm2PerMl: 75, upperCm2PerMl: 120, prints: 3 });
    expect(volumeMlForArea(750, coverage!)).toBe(10);
  });

  it("when nothing was logged, gives null", () => {
    expect(coverageOf([])).toBeNull();
  });
});
