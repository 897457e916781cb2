// A second sheet printed through a correction, by an invented print whose tones are known.
import { describe, expect, it } from "vitest";
import { correctionMark, type SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { lineOfSheets } from "#src/studio/negatives/correct.ts";
import { forgetCurve } from "#src/studio/negatives/keep-curve.ts";
import { correctionOfSheet } from "#src/studio/negatives/make-sheet.ts";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";
import { saveCheckSheet } from "../../support/pictures/check-sheet.ts";
import { testApp } from "../../support/test-app.ts";

async function checkedThrough(printedFor: SheetTarget, marked: SheetTarget) {
  const { store } = testApp();
  return checkSheet({ store }, await saveCheckSheet(store, { printedFor, marked }));
}

describe("checkSheet", () => {
  it.each(["lightness", "density"] as const)(
    "of a sheet printed for even %s, judges it by that and says so",
    async (target) => {
      const check = await checkedThrough(target, target);
      expect(check.target).toBe(target);
      expect(check.advice).toContain(`a scale of even ${target}`);
      expect(check.after.mean).toBeLessThan(0.3);
      expect(check.before.mean).toBeGreaterThan(5);
      expect(check.isStraight).toBe(true);
      // Nothing is left to correct, so the refined curve is the same for the same target.
      expect(check.largestChangeLevels).toBeLessThan(6);
    },
  );

  it("of a sheet for even density judged by lightness, would find a fault that is none", async () => {
    expect((await checkedThrough("density", "lightness")).isStraight).toBe(false);
  });
});

describe("a check sheet printed through a kept curve", () => {
  it("is held against what that curve sent, so that a point moved by hand is seen and mended", async () => {
    const { store } = testApp();
    const moves = [{ level: 128, byLevels: 25 }];
    const check = checkSheet({ store }, await saveCheckSheet(store, { printedFor: "lightness", moves }));
    // The print came out too light there, and by what the curve sent the refined one goes back.
    const middle = check.after.tones.reduce((a, b) => (Math.abs(a.level - 128) < Math.abs(b.level - 128) ? a : b));
    expect(middle.difference).toBeGreaterThan(1);
    const [kept] = store.keptCurves.list();
    const own = correctionOfSheet({ store }, { testId: check.throughTestId, target: "lightness" });
    const through = correctionOfSheet({ store }, { curveId: kept!.id, target: "lightness" });
    expect(through?.levels).toEqual(kept!.levels);
    expect(check.refinedLevels[128]!).toBeLessThan(through!.levels[128]! - 15);
    expect(Math.abs(check.refinedLevels[128]! - own!.levels[128]!)).toBeLessThan(5);
  });

  it("when that curve was forgotten, says so", async () => {
    const { store } = testApp();
    const id = await saveCheckSheet(store, { printedFor: "lightness", moves: [{ level: 128, byLevels: 25 }] });
    forgetCurve({ store }, store.keptCurves.list()[0]!.id);
    expect(() => checkSheet({ store }, id)).toThrow("kept curve that is no longer here");
    expect(() => correctionOfSheet({ store }, { curveId: "none", target: "lightness" })).toThrow("kept curve");
  });
});

describe("lineOfSheets", () => {
  it("of a check sheet, holds it and the test that its mark begins, however many were saved since", async () => {
    const { store } = testApp();
    const id = await saveCheckSheet(store, { printedFor: "lightness" });
    const sheet = store.tests.get(id);
    for (let other = 0; other < 3; other++) await saveCheckSheet(store, { printedFor: "lightness" });
    const [first, second, ...more] = lineOfSheets(store, sheet);
    expect(more).toEqual([]);
    expect(first!.id).toBe(id);
    expect(correctionMark(second!.id)).toBe(sheet.reading.sheet!.correctionMark);
    expect(second!.request.tablet.kind).toBe("levels");
  });

  it("where the test that it was printed through is gone, says which mark is missing", async () => {
    const { store } = testApp();
    const sheet = store.tests.get(await saveCheckSheet(store, { printedFor: "lightness" }));
    const [, before] = lineOfSheets(store, sheet);
    store.transaction(() => store.tests.remove(before!.id));
    expect(() => lineOfSheets(store, sheet)).toThrow(new RegExp(`mark ${sheet.reading.sheet!.correctionMark!}`));
  });
});
