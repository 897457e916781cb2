import { describe, expect, it } from "vitest";
import { correctionFromTones } from "#shared/correction/correction.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { tonedTarget } from "#shared/correction/toned-target.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { troubleOf } from "../../support/trouble-of.ts";

/** Invented tone scale of a film and coating: L* for each level sent; `bend` from -1 to 1. */
const printed =
  (bend: number, dark = 30, light = 92) =>
  (level: number): number =>
    dark + (light - dark) * (level / 255 + (bend * Math.sin((2 * Math.PI * level) / 255)) / (2 * Math.PI));
/** Invented toning: dark tones hardly move, middle ones lose most, paper is stained. */
const toning = (lightness: number): number => {
  const share = (lightness - 30) / 62;
  return 34 + 52 * (share + 0.5 * share * (1 - share));
};
const tones = (lightnessAt: (level: number) => number): Tone[] =>
  Array.from({ length: 33 }, (_, index) => {
    const level = (index * 255) / 32;
    const lightness = lightnessAt(level);
    return { level, lightness, density: 3 * Math.log10(116 / (lightness + 16)), sigma: 0.003 };
  });

describe("tonedTarget", () => {
  it("makes a print of another day's sheet even once it is toned", () => {
    const first = printed(0.6);
    const target = tonedTarget(
      tones(first),
      tones((level) => toning(first(level))),
    );
    const later = printed(-0.4);
    const { levels } = correctionFromTones({ tones: tones(later), target });
    const wanted = Array.from({ length: 15 }, (_, index) => 15 + 15 * index);
    const [darkest, lightest] = [toning(later(0)), toning(later(255))];
    const off = (sent: readonly number[]): number[] =>
      wanted.map((level) =>
        Math.abs(toning(later(sentAt(sent, level))) - darkest - (level / 255) * (lightest - darkest)),
      );
    expect(Math.max(...off(levels))).toBeLessThan(0.6);
    const plain = correctionFromTones({ tones: tones(later), target: "lightness" }).levels;
    expect(Math.max(...off(plain))).toBeGreaterThan(5);
  });

  it("of a print that toning does not change, is even steps of lightness", () => {
    const { points } = tonedTarget(tones(printed(0.6)), tones(printed(0.6)));
    for (const { level, percent } of points) expect(percent).toBeCloseTo((100 * level) / 255, 1);
  });

  it("never falls, and keeps its ends", () => {
    const { points } = tonedTarget(
      tones(printed(0.9)),
      tones((level) => toning(printed(0.9)(level))),
    );
    expect(points[0]).toEqual({ level: 0, percent: 0 });
    expect(points.at(-1)).toEqual({ level: 255, percent: 100 });
    for (const [index, { percent }] of points.entries())
      expect(percent).toBeGreaterThanOrEqual(points[index - 1]?.percent ?? 0);
  });

  it("where the toned print is one tone only, is refused", () => {
    expect(
      troubleOf(() =>
        tonedTarget(
          tones(printed(0.6)),
          tones(() => 60),
        ),
      ),
    ).toMatchObject({ code: "levels-alike" });
  });
});
