// A second sheet printed through a correction, by an invented print whose tones are known.
import { describe, expect, it } from "vitest";
import { sentAt } from "#shared/correction/refine-correction.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { correctionMark, type SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { checkSheet } from "#src/studio/check-sheet.ts";
import { correctionOfTest } from "#src/studio/correct.ts";
import { levelsReading, saveLevelsTest } from "../support/levels-test.ts";
import { printedDensity, printedLightness, usualPrint } from "../support/printed-strip.ts";
import { sampleTestRecord, savePicture } from "../support/sample-records.ts";
import { testApp } from "../support/test-app.ts";

async function checkedThrough(printedFor: SheetTarget, marked: SheetTarget) {
  const { store } = testApp();
  const { id, materials } = await saveLevelsTest(store);
  const sent = correctionOfTest({ store }, { testId: id, target: printedFor }).correction.levels;
  const plain = levelsReading(usualPrint, 32);
  const steps = plain.steps.map((step) => {
    const density = printedDensity(usualPrint, sentAt(sent, step.input));
    return { ...step, visual: density, lightness: printedLightness(density) };
  });
  const sheet: Reading["sheet"] = {
    layout: { version: 1, levels: 32, replicates: 1, widthMm: 160 }, correctionMark: correctionMark(id, marked), mirrored: false, inverted: false, registration: "code-and-marks",
    unevenness: { columns: 1, rows: 1, percent: [0], worstPercent: 0 }, patches: [],
  };
  const record = sampleTestRecord(materials, await savePicture(store), { tablet: { kind: "sheet" } });
  const second = store.transaction(() => store.tests.save({ ...record, reading: { ...plain, steps, sheet } }));
  return checkSheet({ store }, second.id);
}

describe("checkSheet", () => {
  it.each(["lightness", "density"] as const)("of a sheet printed for even %s, judges it by that and says so", async (target) => {
    const check = await checkedThrough(target, target);
    expect(check.target).toBe(target);
    expect(check.advice).toContain(`a scale of even ${target}`);
    expect(check.after.mean).toBeLessThan(0.3);
    expect(check.before.mean).toBeGreaterThan(5);
    expect(check.isStraight).toBe(true);
    // Nothing is left to correct, so the refined curve is the same for the same target.
    expect(check.largestChangeLevels).toBeLessThan(6);
  });

  it("of a sheet for even density judged by lightness, would find a fault that is none", async () => {
    expect((await checkedThrough("density", "lightness")).isStraight).toBe(false);
  });
});
