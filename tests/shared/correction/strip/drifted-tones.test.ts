import { describe, expect, it } from "vitest";
import { driftedTones } from "#shared/correction/strip/drifted-tones.ts";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { driftAndFollow } from "../../../bench/closed-loop/drift.ts";

const straight = Array.from({ length: 256 }, (_, level) => level);
/** A print of even steps from L* 30 to 95. */
const even = (level: number): number => 30 + (65 * level) / 255;
const tone = (level: number, lightness: number, sigma = 0.004): Tone => ({
  level,
  lightness,
  density: 3 * Math.log10(116 / (lightness + 16)),
  sigma,
});
const sheet = Array.from({ length: 41 }, (_, index) => tone((index * 255) / 40, even((index * 255) / 40)));
const strip = (moved: (level: number) => number) => ({
  sentLevels: straight,
  tones: stripLevels.map((level) => tone(level, even(level) + moved(level))),
});

describe("tones moved by the strips of later prints", () => {
  it("without a strip, or by one that agrees with the sheet, stay where they are", () => {
    expect(driftedTones(sheet, [])).toEqual(sheet);
    for (const moved of driftedTones(sheet, [strip(() => 0)]))
      expect(moved.lightness).toBeCloseTo(even(moved.level), 9);
  });

  it("follow a bend of six L* to within one, and density follows lightness", () => {
    const bend = (level: number) => -6 * Math.sin((Math.PI * level) / 255);
    for (const moved of driftedTones(sheet, [strip(bend)])) {
      expect(Math.abs(moved.lightness - (even(moved.level) + bend(moved.level)))).toBeLessThan(1);
      expect(moved.density).toBeCloseTo(3 * Math.log10(116 / (moved.lightness + 16)), 6);
    }
  });

  it("follow one patch as far as its variance beside the drift's allows (closed form of one observation)", () => {
    const level = 255 * 0.4;
    const seen = tone(level, even(level) + 4);
    const [moved] = driftedTones(
      [tone(0, even(0)), tone(level, even(level)), tone(255, even(255))],
      [{ sentLevels: straight, tones: [seen] }],
    ).filter((each) => each.level === level);
    const darkness = 0.6;
    const drift = 6 ** 2 * darkness ** 2 + 10 ** 2;
    const perDensity = ((seen.lightness + 16) * Math.LN10) / 3;
    const place = (0.8 * 4 * darkness * (1 - darkness)) ** 2;
    const noise = (perDensity * 0.004) ** 2 + 0.3 ** 2 + place;
    expect(moved!.lightness - even(level)).toBeCloseTo((4 * drift) / (drift + noise), 6);
  });

  it("on a film so dense that all tones lie between two levels of the sheet, keep what the strip saw there", () => {
    // Truth bends there as no line through the sheet's own levels does.
    const truth = (level: number): number => 30 + 60 * Math.min(1, level / 8) ** 2.5;
    const coarse = [0, 8, 16, 64, 128, 255].map((level) => tone(level, truth(level)));
    const sentLevels = Array.from({ length: 256 }, (_, wanted) => (8 * wanted) / 255);
    const tones = Array.from({ length: 12 }, (_, index) => {
      const wanted = (255 * index) / 11;
      return tone(wanted, truth((8 * wanted) / 255));
    });
    const within = driftedTones(coarse, [{ sentLevels, tones }]).filter(({ level }) => level > 0 && level < 8);
    expect(within).toHaveLength(10);
    // A straight line through the sheet's own levels would be off by 19.
    for (const { level, lightness } of within) expect(Math.abs(lightness - truth(level))).toBeLessThan(4);
  });

  it("of two strips that differ by chance, lie between them, nearer to the newer", () => {
    const [old, young] = [strip(() => 2), strip(() => 3)];
    const middle = driftedTones(sheet, [old, young]).find(({ level }) => level === sheet[20]!.level)!;
    expect(middle.lightness - even(middle.level)).toBeGreaterThan(2.4);
    expect(middle.lightness - even(middle.level)).toBeLessThan(3);
  });

  it("bring a drifted printer back within 0.6 L* in two prints, in most studios, and hardly move a steady one", () => {
    const after = (size: number) =>
      Array.from({ length: 24 }, (_, index) => driftAndFollow(70_000 + index, 2, size).prints.map(({ mean }) => mean));
    const drifted = after(1);
    const median = (values: number[]) => values.sort((a, b) => a - b)[12]!;
    expect(median(drifted.map((print) => print[0]!))).toBeGreaterThan(2);
    expect(drifted.filter((print) => print[2]! <= 0.6).length).toBeGreaterThanOrEqual(23);
    expect(Math.max(...after(0).map((print) => print[2]!))).toBeLessThan(0.7);
  });
});
