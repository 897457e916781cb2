import { describe, expect, it } from "vitest";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { drawCurve, forgetCurve, keepCurve } from "#src/studio/negatives/keep-curve.ts";
import { saveCheckSheet } from "../../support/pictures/check-sheet.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

describe("keepCurve", () => {
  it("keeps today's curve with its date and the prints that it comes from, for good", async () => {
    const { store } = testApp();
    const sheet = await saveCheckSheet(store, { printedFor: "lightness" });
    const kept = keepCurve({ store }, { testId: sheet, state: "toned" });
    expect(kept.levels).toEqual(correctionOfTest({ store }, { testId: sheet, target: "lightness" }).correction.levels);
    expect(kept.printIds).toHaveLength(2);
    expect(kept.printIds[0]).toBe(sheet);
    expect(kept).toMatchObject({ state: "toned", target: "lightness" });
    expect(store.keptCurves.get(kept.id)).toEqual(kept);
    forgetCurve({ store }, kept.id);
    expect(store.keptCurves.list()).toEqual([]);
  });

  it("blends two tests by their shares, and takes what a hand moved", async () => {
    const { store } = testApp();
    const [first, second] = [(await saveLevelsTest(store)).id, await saveCheckSheet(store, { printedFor: "density" })];
    const own = (testId: string) => correctionOfTest({ store }, { testId, target: "lightness" }).correction.levels;
    const blended = drawCurve(
      { store },
      { testId: first, target: "lightness", blend: { testId: second, share: 0.25 }, moves: [] },
    );
    blended.levels.forEach((level, i) =>
      expect(level).toBeCloseTo(0.75 * (own(first)[i] ?? 0) + 0.25 * (own(second)[i] ?? 0), 6),
    );
    expect(blended.printIds).toContain(second);
    const moved = drawCurve(
      { store },
      { testId: first, target: "lightness", blend: null, moves: [{ level: 100, byLevels: 8 }] },
    );
    expect((moved.levels[100] ?? 0) - (own(first)[100] ?? 0)).toBeCloseTo(8, 6);
    // More sent prints lighter.
    const plain = drawCurve({ store }, { testId: first, target: "lightness", blend: null, moves: [] });
    expect(moved.lightness[100]).toBeGreaterThan(plain.lightness[100] ?? 0);
  });
});
