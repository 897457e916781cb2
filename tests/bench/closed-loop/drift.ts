// A printer that has drifted since its wedge sheet: the strip beside each picture leads the curve after it.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { driftedTones, type StripTones } from "#shared/correction/strip/drifted-tones.ts";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { chance } from "./chance.ts";
import { trueStraightness, type Straightness } from "./loop.ts";
import { evenPrintDensity, inventStudio, lightnessOfPrint, type Studio } from "./studio.ts";

export interface DriftOutcome {
  readonly seed: number;
  /** Straightness of the drifted studio's print through the old curve, then after each strip. */
  readonly prints: readonly Straightness[];
}

/** Ink, its spread and the coating's day move; the film's base stays. */
export function drifted(studio: Studio, seed: number, size: number): Studio {
  const random = chance(seed * 31 + 3);
  const ink = 1 + size * random.between(-0.2, 0.25);
  const bend = 1 + size * random.between(-0.2, 0.25);
  const day = 1 + size * random.between(-0.07, 0.07);
  const light = size * random.between(-0.06, 0.06);
  const base = studio.filmDensity[255]!;
  return {
    ...studio,
    filmDensity: studio.filmDensity.map((_, pixel) => {
      const at = 255 * (1 - (1 - pixel / 255) ** bend);
      const low = Math.min(254, Math.floor(at));
      const inside = studio.filmDensity[low]! + (at - low) * (studio.filmDensity[low + 1]! - studio.filmDensity[low]!);
      return base + ink * (inside - base);
    }),
    printDensity: (logH) => day * studio.printDensity(logH + light),
  };
}

/** How each of a print's patches reads: coating uneven from place to place, a scatter of its own, a careful picture. */
export function tonesRead(
  studio: Studio,
  wanted: readonly number[],
  sentLevels: readonly number[],
  seed: number,
): Tone[] {
  const random = chance(seed * 17 + 11);
  const [tilt, bow, whole] = [random.normal(0.012), random.normal(0.01), random.normal(0.012)];
  return wanted.map((level, index) => {
    const along = wanted.length === 1 ? 0 : (2 * index) / (wanted.length - 1) - 1;
    const thick = 1 + whole + tilt * along + bow * (along ** 2 - 1 / 3) + random.normal(0.008);
    const red = evenPrintDensity(studio, 255 - sentAt(sentLevels, level)) * thick;
    const lightness = lightnessOfPrint(red);
    return { level, lightness, density: 3 * Math.log10(116 / (lightness + 16)), sigma: 0.006 };
  });
}

/** Tones of a wedge sheet: it averages its unevenness out; what is left is small. */
export function sheetTonesOf(studio: Studio): Tone[] {
  const sheetLevels = Array.from({ length: 41 }, (_, index) => (index * 255) / 40);
  return sheetLevels.map((level): Tone => {
    const lightness = lightnessOfPrint(evenPrintDensity(studio, 255 - level));
    return { level, lightness, density: 3 * Math.log10(116 / (lightness + 16)), sigma: 0.004 };
  });
}

const uncorrected = Array.from({ length: 256 }, (_, level) => level);

/**
 * @param prints how many negatives with a strip are made one after the other
 * @param size 1 for a printer that has drifted, 0 for one that has not
 */
export function driftAndFollow(seed: number, prints = 2, size = 1): DriftOutcome {
  const before = inventStudio(seed);
  const sheet = sheetTonesOf(before);
  const after = drifted(before, seed, size);
  const strips: StripTones[] = [];
  const levelsNow = () => correctionFromTones({ tones: driftedTones(sheet, strips), target: "lightness" }).levels;
  const outcomes = [trueStraightness(after, levelsNow())];
  for (let print = 1; print <= prints; print++) {
    const sentLevels = levelsNow();
    strips.push({ sentLevels, tones: tonesRead(after, stripLevels, sentLevels, seed * 100 + print) });
    outcomes.push(trueStraightness(after, levelsNow()));
  }
  return { seed, prints: [...outcomes, trueStraightness(after, uncorrected)] };
}
