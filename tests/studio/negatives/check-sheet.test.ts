// A second sheet printed through a correction, by an invented print whose tones are known.
import { describe, expect, it } from "vitest";
import type { SheetTarget } from "#shared/tablet/wedge-sheet-code.ts";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";
import { saveCheckSheet } from "../../support/check-sheet.ts";
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
