import { describe, expect, it } from "vitest";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { stripDoubts } from "#shared/correction/strip/strip-doubts.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { doubtsOfStrips, spoiltStrips } from "../../../bench/closed-loop/doubts.ts";

const straight = Array.from({ length: 256 }, (_, level) => level);
/** A print of even steps from L* 30 to 95. */
const even = (level: number): number => 30 + (65 * level) / 255;
const tone = (level: number, lightness: number): Tone => ({
  level,
  lightness,
  density: 3 * Math.log10(116 / (lightness + 16)),
  sigma: 0.004,
});
const sheet = Array.from({ length: 41 }, (_, index) => tone((index * 255) / 40, even((index * 255) / 40)));
const strip = (moved: (level: number, patch: number) => number) => ({
  sentLevels: straight,
  tones: stripLevels.map((level, index) => tone(level, even(level) + moved(level, index + 1))),
});
const bend = (level: number): number => -5 * Math.sin((Math.PI * level) / 255);

describe("doubts about a margin strip", () => {
  it("are none where it agrees, or where all its tones move together", () => {
    expect(stripDoubts(sheet, [])).toEqual([]);
    expect(stripDoubts(sheet, [strip(() => 0)])).toEqual([]);
    expect(stripDoubts(sheet, [strip(bend)])).toEqual([]);
    expect(stripDoubts(sheet, [strip(bend), strip(bend)])).toEqual([]);
  });

  it("name the one patch that does not fit, and how far it is off", () => {
    const spotted = strip((level, patch) => bend(level) + (patch === 5 ? 4 : 0));
    const [doubt, ...others] = stripDoubts(sheet, [spotted]);
    expect(others).toEqual([]);
    expect(doubt).toMatchObject({ code: "strip-patch-odd", patch: 5 });
    expect((doubt as { byLightness: number }).byLightness).toBeCloseTo(4, 0);
  });

  it("say when it contradicts the strip before, and when it lies far off", () => {
    const glare = strip((level, patch) => bend(level) + (4 * (patch - 1)) / 11);
    expect(stripDoubts(sheet, [strip(bend), glare])).toEqual([{ code: "strip-disagrees", strips: 2 }]);
    const far = strip((level) => -14 * Math.sin((Math.PI * level) / 255));
    expect(stripDoubts(sheet, [far])).toMatchObject([{ code: "strip-far" }]);
  });

  it("tell nine of ten spoilt strips and few good ones, in simulated studios", () => {
    const good = doubtsOfStrips(1, 30, (tones) => [...tones]);
    expect(good.filter((codes) => codes.length > 0).length).toBeLessThanOrEqual(3);
    const told = Object.values(spoiltStrips).flatMap((spoil) => doubtsOfStrips(1, 20, spoil));
    expect(told.filter((codes) => codes.length > 0).length / told.length).toBeGreaterThan(0.8);
  });
});
