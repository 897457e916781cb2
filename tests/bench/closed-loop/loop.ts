// One turn of the loop in one simulated studio: sheet, print, photo, reading, correction; then a second sheet through
// it.
import { correctionFromTones } from "#shared/correction/correction.ts";
import { pooledTones, sentAt } from "#shared/correction/refine-correction.ts";
import { TroubleError } from "#shared/errors.ts";
import type { Tone } from "#shared/schema/correction.ts";

import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { SheetOptions } from "#shared/tablet/wedge-sheet-layout.ts";
import { correctionMark } from "#shared/tablet/wedge-sheet-code.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { printAndPhotograph } from "./print-and-photograph.ts";
import { evenPrintDensity, inventStudio, lightnessOfPrint, type Studio } from "./studio.ts";

/**
 * Distance of a print's tones from a straight line in L* between its darkest and lightest tone, over all 256 wanted
 * levels.
 */
export interface Straightness {
  readonly mean: number;
  readonly worst: number;
}

export interface LoopOutcome {
  readonly seed: number;
  readonly cloth: boolean;
  readonly before: Straightness;
  readonly corrected: Straightness;
  readonly refined: Straightness | null;
}

/** Film files are drawn at this resolution to keep the bench quick; patches are flat, so it changes nothing else. */
const dpi = 150;

/** What the studio truly prints, coating evenly, for a wanted level sent through a correction. */
export function trueStraightness(studio: Studio, sentLevels: readonly number[]): Straightness {
  const lightness = (level: number): number => {
    // A level between two whole ones is printed as a fine mixture of both: reflectances mix.
    const sent = sentAt(sentLevels, level);
    const low = Math.floor(255 - sent);
    const part = 255 - sent - low;
    const [a, b] = [evenPrintDensity(studio, low), evenPrintDensity(studio, Math.min(255, low + 1))];
    return lightnessOfPrint(-Math.log10((1 - part) * 10 ** -a + part * 10 ** -b));
  };
  const [dark, light] = [
    lightnessOfPrint(evenPrintDensity(studio, 255)),
    lightnessOfPrint(evenPrintDensity(studio, 0)),
  ];
  const errors = Array.from({ length: 256 }, (_, level) =>
    Math.abs(lightness(level) - (dark + (level / 255) * (light - dark))),
  );
  return { mean: errors.reduce((sum, error) => sum + error, 0) / 256, worst: Math.max(...errors) };
}

const uncorrected = Array.from({ length: 256 }, (_, level) => level);
const tonesOf = (reading: MeasuredReading): Tone[] =>
  reading.steps.map((step) => ({
    level: step.input,
    lightness: step.lightness,
    density: step.visual,
    sigma: step.sigmaVisual,
  }));

/** @param refine false to stop after the first correction */
export async function turnOnce({
  seed,
  cloth,
  options,
  longSidePx,
  refine = true,
}: {
  seed: number;
  cloth: boolean;
  options: SheetOptions;
  longSidePx?: number;
  refine?: boolean;
}): Promise<LoopOutcome> {
  const studio = inventStudio(seed, cloth);
  const read = async (
    pictureSeed: number,
    correction?: { levels: readonly number[]; mark: string },
  ): Promise<Tone[]> => {
    const { png } = await drawSheet({ options, paper: "a4", dpi, mirror: true, correction });
    for (let attempt = 0; ; attempt++) {
      const photo = await printAndPhotograph({
        studio,
        png,
        options,
        seed: pictureSeed + attempt * 10_000_000,
        ...(longSidePx === undefined ? {} : { longSidePx }),
      });
      try {
        return tonesOf(await measureReading({ picture: photo.jpeg, request: { tablet: { kind: "sheet" } } }));
      } catch (error) {
        // A refused picture is taken again, as its user would; the table of pictures read without help counts refusals.
        if (!(error instanceof TroubleError) || attempt === 2) throw error;
      }
    }
  };
  const first = await read(seed);
  const correction = correctionFromTones({ tones: first, target: "lightness" });
  const outcome = {
    seed,
    cloth,
    before: trueStraightness(studio, uncorrected),
    corrected: trueStraightness(studio, correction.levels),
  };
  if (!refine) return { ...outcome, refined: null };
  const second = await read(seed + 500_000, { levels: correction.levels, mark: correctionMark(`S${seed}`) });
  const better = correctionFromTones({
    tones: pooledTones({ first, sentLevels: correction.levels, second }),
    target: "lightness",
  });
  return { ...outcome, refined: trueStraightness(studio, better.levels) };
}
