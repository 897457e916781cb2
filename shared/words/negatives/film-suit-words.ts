// What is said about a film and its coating, in figures.
import { formatFixed } from "#shared/format/number.ts";
import type { FilmSuit } from "#shared/schema/correction.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

const suit: Sentences<FilmSuit> = {
  "film-unknown":
    "Whether the film holds back too much or too little cannot be told: no bare paper beyond the coating was seen, " +
    "or the densest black was not printed. Leave bare paper in the picture.",
  "film-fits": ({ whiteFromLevel }) =>
    `The film suits: the print reaches white paper at level ${whiteFromLevel} of 255, with hardly any ink to spare.`,
  "film-dense": ({ whiteFromLevel, lessInkShare, levelsGained, excessDensity }) =>
    `Level ${whiteFromLevel} is already white. ` +
    (excessDensity === null ? "" : `Your film is about ${formatFixed(excessDensity, 1)} denser than needed. `) +
    (lessInkShare < 0.005
      ? "Hardly any ink can be spared."
      : `${Math.round(100 * lessInkShare)} % less ink still holds the paper white and gives ${levelsGained} ` +
        "more grey levels to the picture. Lower the ink in the printer's driver, and print the sheet again with it."),
  "film-short": ({ veilDensity, shortDensity }) =>
    `The film is too thin for this coating: its densest black still prints ${formatFixed(veilDensity, 2)} above bare ` +
    "paper. " +
    (shortDensity === null
      ? "How much is short, a step tablet printed beside the sheet would tell. "
      : `It is about ${formatFixed(shortDensity, 1)} short in density. `) +
    "More ink or a denser one, another ink that holds back ultraviolet better, two films on each other, or a coating " +
    "with a shorter scale would mend it; less ink would make it worse.",
};

/** The film's suit as a sentence. */
export const filmSuitWords = (fact: FilmSuit): string => sentenceOf(suit, fact);
