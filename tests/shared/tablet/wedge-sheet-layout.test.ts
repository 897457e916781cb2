import { describe, expect, it } from "vitest";
import fc from "fast-check";
import {
  markRadiiMm,
  sheetLayout,
  sheetLevels,
  sheetLimits,
  type SheetLayout,
} from "#shared/tablet/wedge-sheet-layout.ts";
import { troubleOf } from "../../support/trouble-of.ts";

/** Mean over one level's patches of a function of the place, in -1..1 across the grid. */
function levelMean(layout: SheetLayout, levelIndex: number, f: (x: number, y: number) => number): number {
  const { xMm, yMm, columns, rows, pitchMm } = layout.grid;
  const places = layout.patches.filter((patch) => patch.levelIndex === levelIndex);
  const total = places.reduce(
    (sum, patch) =>
      sum +
      f(
        ((patch.xMm + patch.sizeMm / 2 - xMm) / (columns * pitchMm)) * 2 - 1,
        ((patch.yMm + patch.sizeMm / 2 - yMm) / (rows * pitchMm)) * 2 - 1,
      ),
    0,
  );
  return total / places.length;
}

describe("sheetLevels", () => {
  it("for every count, rises from 0 to 255 in distinct whole levels", () => {
    for (let count = sheetLimits.levels[0]; count <= sheetLimits.levels[1]; count++) {
      const levels = sheetLevels(count);
      expect(levels[0]).toBe(0);
      expect(levels.at(-1)).toBe(255);
      expect(new Set(levels).size).toBe(count);
      levels.forEach((level, i) =>
        expect(Number.isInteger(level) && (i === 0 || level > (levels[i - 1] as number))).toBe(true),
      );
    }
  });

  it("at the default count, lies twice as close at both ends as in the middle", () => {
    const levels = sheetLevels(41);
    expect((levels[20] as number) - (levels[19] as number)).toBeGreaterThanOrEqual(
      2 * ((levels[1] as number) - (levels[0] as number)),
    );
    expect((levels[20] as number) - (levels[19] as number)).toBeGreaterThanOrEqual(
      2 * ((levels[40] as number) - (levels[39] as number)),
    );
  });
});

describe("sheetLayout", () => {
  it("for any options that fit, repeats every level often enough, inside the block, without overlap", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 128 }),
        fc.integer({ min: 1, max: 8 }),
        fc.integer({ min: 80, max: 200 }),
        (levels, replicates, widthMm) => {
          let layout: SheetLayout;
          try {
            layout = sheetLayout({ levels, replicates, widthMm });
          } catch (error) {
            return (error as { code?: string }).code === "bad-request";
          }
          const counts = new Array<number>(levels).fill(0);
          for (const patch of layout.patches) counts[patch.levelIndex] = (counts[patch.levelIndex] as number) + 1;
          expect(Math.min(...counts)).toBeGreaterThanOrEqual(replicates);
          for (const patch of layout.patches) {
            expect(patch.xMm).toBeGreaterThan(0);
            expect(patch.xMm + patch.sizeMm).toBeLessThan(widthMm);
            expect(patch.yMm).toBeGreaterThan(layout.code.yMm + layout.code.sizeMm);
            expect(patch.yMm + patch.sizeMm).toBeLessThan((layout.marks[2] as { yMm: number }).yMm - markRadiiMm.outer);
          }
          return true;
        },
      ),
      { numRuns: 60, seed: 11 },
    );
  });

  it("with an even number of repeats, feels no straight fall of coating from one side to the other", () => {
    for (const options of [{}, { levels: 24, replicates: 6 }, { levels: 32, replicates: 2, widthMm: 190 }]) {
      const layout = sheetLayout(options);
      // The ends get the spare cells too, which lie in no order.
      for (let index = 1; index < layout.levels.length - 1; index++) {
        expect(Math.abs(levelMean(layout, index, (x) => x))).toBeLessThan(1e-9);
        expect(Math.abs(levelMean(layout, index, (_x, y) => y))).toBeLessThan(1e-9);
      }
    }
  });

  it("at the default, moves no level's mean by more than a quarter of a dome-shaped unevenness", () => {
    const layout = sheetLayout();
    const dome = layout.levels.map((_, index) => levelMean(layout, index, (x, y) => (x * x + y * y) / 2));
    const mean = dome.reduce((a, b) => a + b) / dome.length;
    expect(Math.max(...dome.map((value) => Math.abs(value - mean)))).toBeLessThan(0.25);
  });

  it("asked for more patches than the width holds, says what to ask for instead", () => {
    const refusal = (options: Parameters<typeof sheetLayout>[0]) => troubleOf(() => sheetLayout(options));
    expect(refusal({ levels: 128, replicates: 8, widthMm: 80 })).toMatchObject({ code: "sheet-patches-too-small" });
    const outside = { code: "sheet-option-outside", isWhole: true, least: 5, most: 128 };
    expect(refusal({ levels: 4 })).toMatchObject({ ...outside, option: "levels", given: 4, field: "levels" });
    expect(refusal({ levels: 20.5 })).toMatchObject({ ...outside, given: 20.5 });
    expect(refusal({ widthMm: Number.NaN })).toMatchObject({ code: "sheet-option-outside", option: "widthMm" });
  });
});
