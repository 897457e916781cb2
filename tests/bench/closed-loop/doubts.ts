// Good strips and spoilt ones of drifted printers: how many of each are doubted.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { driftedTones, type StripTones } from "#shared/correction/strip/drifted-tones.ts";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { stripDoubts } from "#shared/correction/strip/strip-doubts.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { chance, type Chance } from "./chance.ts";
import { drifted, sheetTonesOf, tonesRead } from "./drift.ts";
import { inventStudio } from "./studio.ts";

/** What happened to a strip before or while it was read. */
export type Spoiling = (tones: readonly Tone[], random: Chance) => Tone[];

const moved = (tones: readonly Tone[], by: (index: number) => number): Tone[] =>
  tones.map((tone, index) => ({ ...tone, lightness: Math.min(100, tone.lightness + by(index)) }));

export const spoiltStrips: Readonly<Record<string, Spoiling>> = {
  "a speck or glare on one patch": (tones, random) => {
    const [patch, by] = [Math.floor(random.between(1, 11)), random.oneOf([-3, 3])];
    return moved(tones, (index) => (index === patch ? by : 0));
  },
  "a patchy coating": (tones, random) => moved(tones, () => random.normal(1)),
  "glare rising to L* 4 at one end": (tones) => moved(tones, (index) => (4 * index) / (tones.length - 1)),
  "corners half a patch off": (tones) =>
    tones.map((tone, index) => ({
      ...tone,
      lightness: (tone.lightness + tones[Math.min(tones.length - 1, index + 1)]!.lightness) / 2,
    })),
};

/** Codes of doubt about the second strip after the sheet, for `count` studios; the first strip is good. */
export function doubtsOfStrips(firstSeed: number, count: number, spoil: Spoiling, driftSize = 1): string[][] {
  return Array.from({ length: count }, (_, i) => {
    const seed = firstSeed + i;
    const before = inventStudio(seed);
    const after = drifted(before, seed, driftSize);
    const sheet = sheetTonesOf(before);
    const strips: StripTones[] = [];
    for (const print of [1, 2]) {
      const { levels } = correctionFromTones({ tones: driftedTones(sheet, strips), target: "lightness" });
      const read = tonesRead(after, stripLevels, levels, seed * 100 + print);
      strips.push({ sentLevels: levels, tones: print === 2 ? spoil(read, chance(seed + 7)) : read });
    }
    return stripDoubts(sheet, strips).map(({ code }) => code);
  });
}
