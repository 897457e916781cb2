import { describe, expect, it } from "vitest";
import { filmSuit } from "#shared/correction/film-suit.ts";
import { filmSuitWords } from "#shared/words/negatives/film-suit-words.ts";
import { correctionFromTones } from "#shared/correction/correction.ts";
import { evenPrintDensity, inventStudio, lightnessOfPrint, type FilmFit } from "../../bench/closed-loop/studio.ts";
import { printedTones, usualPrint } from "../../support/pictures/printed-strip.ts";

/** Figures for a simulated studio's sheet, read as well as a careful scan is. */
function suitOf(fit: FilmFit, seed: number, isVeilKnown = true) {
  const studio = inventStudio(seed, false, fit);
  const stain = studio.stainDensity;
  const tones = Array.from({ length: 41 }, (_, index) => {
    const level = (index * 255) / 40;
    const red = evenPrintDensity(studio, 255 - level) - stain;
    const lightness = lightnessOfPrint(red);
    return { level, lightness, density: Math.max(0, -Math.log10(((lightness + 16) / 116) ** 3)), sigma: 0.004 };
  });
  const { measured } = correctionFromTones({ tones, target: "lightness" });
  const suit = filmSuit({ tones, lightness: measured.lightness, isVeilKnown, film: null, coating: null });
  return { suit, studio, stain };
}

const seeds = Array.from({ length: 100 }, (_, index) => 80_000 + index);

describe("whether the film suits", () => {
  it("of a hundred dense films, never asks for more ink, and what it spares leaves the paper white", () => {
    let told = 0;
    for (const seed of seeds) {
      const { suit, studio, stain } = suitOf("dense", seed);
      expect(suit.code).not.toBe("film-short");
      if (suit.code !== "film-dense") continue;
      told++;
      // The same printer with so much less ink: what its densest black then prints, above clean paper.
      const densest = 255 * (1 - suit.lessInkShare);
      expect(evenPrintDensity(studio, 255 - densest) - stain).toBeLessThan(0.045);
      expect(suit.levelsGained).toBeGreaterThanOrEqual(0);
    }
    expect(told).toBeGreaterThan(90);
  });

  it("of a hundred thin films, tells the veil of each and never asks for less ink", () => {
    for (const seed of seeds) {
      const { suit, studio, stain } = suitOf("thin", seed);
      expect(suit.code).not.toBe("film-dense");
      if (evenPrintDensity(studio, 0) - stain > 0.06) expect(suit.code).toBe("film-short");
      expect(filmSuitWords(suit)).not.toMatch(/% less ink still/);
    }
  });

  it("without bare paper in the picture, gives no advice about ink", () => {
    for (const fit of ["thin", "fitting", "dense"] as const)
      expect(suitOf(fit, 80_000, false).suit).toEqual({ code: "film-unknown" });
  });

  it("says it in figures", () => {
    const tones = printedTones(usualPrint, { count: 48 });
    const { measured } = correctionFromTones({ tones, target: "lightness" });
    const suit = filmSuit({
      tones,
      lightness: measured.lightness,
      isVeilKnown: true,
      // A film whose density rises by 0.006 a level, seen up to level 160.
      film: {
        levels: Array.from({ length: 9 }, (_, index) => ({
          level: 20 * index,
          filmDensity: 0.06 + 0.12 * index,
          sigmaDensity: 0.01,
          bound: "exact" as const,
        })),
      },
      coating: null,
    });
    if (suit.code !== "film-dense") throw new Error(suit.code);
    expect(suit.excessDensity).toBeCloseTo(0.006 * (255 - suit.whiteFromLevel), 9);
    expect(filmSuitWords(suit)).toMatch(
      /^Level \d+ is already white\. Your film is about 0\.\d denser than needed\. \d+ % less ink .* gives \d+ more/,
    );
  });
});
