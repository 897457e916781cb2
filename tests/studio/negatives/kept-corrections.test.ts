import { describe, expect, it } from "vitest";
import { solvedCorrection, type CorrectionInput } from "#shared/correction/correction.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { keptCorrection } from "#src/studio/negatives/kept-corrections.ts";

/** A strip made up for this test: eleven levels whose lightness rises from 30 to about 95. */
function madeUpTones(bend = 1): Tone[] {
  return Array.from({ length: 11 }, (_, index) => ({
    level: index * 25,
    lightness: 30 + 65 * (index / 10) ** bend,
    density: 1.4 * (1 - (index / 10) ** bend),
    sigma: 0.01,
  }));
}

const input = (bend: number): CorrectionInput => ({ tones: madeUpTones(bend), target: "lightness" });

describe("keptCorrection", () => {
  it("when asked twice, finds the curve once, and the same as without keeping", () => {
    const first = keptCorrection(input(1.5));
    expect(keptCorrection(input(1.5))).toBe(first);
    expect(first.found).toEqual(solvedCorrection(input(1.5)).found);
    expect([...first.table(17)]).toEqual([...solvedCorrection(input(1.5)).table(17)]);
  });

  it("when one tone or the target changes, finds another curve", () => {
    const first = keptCorrection(input(1.5));
    const [darkest, ...others] = madeUpTones(1.5);
    const changed = [{ ...darkest!, lightness: darkest!.lightness + 0.5 }, ...others];
    expect(keptCorrection({ tones: changed, target: "lightness" }).found).not.toEqual(first.found);
    expect(keptCorrection({ ...input(1.5), target: "density" }).found).not.toEqual(first.found);
  });

  it("when many others were asked for since, finds it anew and alike", () => {
    const first = keptCorrection(input(1.5));
    for (let other = 0; other < 8; other++) keptCorrection(input(1.6 + other / 10));
    const again = keptCorrection(input(1.5));
    expect(again).not.toBe(first);
    expect(again.found).toEqual(first.found);
  });

  it("refuses tones that give no curve each time", () => {
    const tooFew: CorrectionInput = { tones: madeUpTones().slice(0, 2), target: "lightness" };
    expect(() => keptCorrection(tooFew)).toThrow();
    expect(() => keptCorrection(tooFew)).toThrow();
  });
});
