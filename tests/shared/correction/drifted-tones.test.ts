import { describe, expect, it } from "vitest";
import { driftedScale } from "#shared/correction/drifted-tones.ts";
import { stripLevels } from "#shared/correction/margin-strip.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { driftAndFollow } from "../../bench/closed-loop/drift.ts";

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
    expect(driftedScale(sheet, []).tones).toEqual(sheet);
    driftedScale(sheet, [strip(() => 0)]).tones.forEach((moved, index) =>
      expect(moved.lightness).toBeCloseTo(sheet[index]!.lightness, 9),
    );
  });

  it("follow a bend of six L* to within one, and density follows lightness", () => {
    const bend = (level: number) => -6 * Math.sin((Math.PI * level) / 255);
    for (const moved of driftedScale(sheet, [strip(bend)]).tones) {
      expect(Math.abs(moved.lightness - (even(moved.level) + bend(moved.level)))).toBeLessThan(1);
      expect(moved.density).toBeCloseTo(3 * Math.log10(116 / (moved.lightness + 16)), 6);
    }
  });

  it("follow one patch as far as its variance beside the drift's allows (closed form of one observation)", () => {
    const level = 255 * 0.4;
    const seen = tone(level, even(level) + 4);
    const [moved] = driftedScale(
      [tone(0, even(0)), tone(level, even(level)), tone(255, even(255))],
      [{ sentLevels: straight, tones: [seen] }],
    ).tones.filter((each) => each.level === level);
    const darkness = 0.6;
    const drift = 6 ** 2 * darkness ** 2 + 10 ** 2;
    const perDensity = ((seen.lightness + 16) * Math.LN10) / 3;
    const place = (0.8 * 4 * darkness * (1 - darkness)) ** 2;
    const noise = (perDensity * 0.004) ** 2 + 0.3 ** 2 + place;
    expect(moved!.lightness - even(level)).toBeCloseTo((4 * drift) / (drift + noise), 6);
  });

  it("of two strips that differ by chance, lie between them, nearer to the newer", () => {
    const [old, young] = [strip(() => 2), strip(() => 3)];
    const middle = driftedScale(sheet, [old, young]).tones[20]!;
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
