// What is said when tones give no curve, or a negative cannot be laid out as asked.
import { formatSize } from "#shared/format/length.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { CorrectionTrouble, NegativeTrouble } from "#shared/correction/correction-facts.ts";
import type { Sentences } from "#shared/words/sentences.ts";

const sheetCount = (sheets: number): string => `${sheets} ${sheets === 1 ? "sheet" : "sheets"}`;
const millions = (pixels: number): number => pixels / 1e6;

export const negativeTroubleSentences: Sentences<CorrectionTrouble | NegativeTrouble> = {
  "too-few-levels": ({ levels }) =>
    `A tone curve needs at least 3 different grey levels; ${levels} could be used. Print a strip or sheet with ` +
    "more levels.",
  "levels-alike": ({ spanLightness, leastLightness }) =>
    "All grey levels printed nearly alike: the lightest and the darkest differ by L* " +
    `${formatFixed(spanLightness, 1)}, ` +
    `and a tone curve needs at least ${leastLightness}. Check that the strip is the right one, and the exposure ` +
    "time.",
  "tones-not-rising":
    "The print does not get lighter as the grey levels rise. Check which end of the strip is level 0, and that " +
    "the levels are listed in the order printed.",
  "negative-too-large": ({ pixels, sheets, mostPixels, mostSheetPixels }) =>
    `This negative would have ${Math.round(millions(pixels))} million pixels on ${sheetCount(sheets)}; at most ` +
    `${millions(mostPixels)} million together and ${millions(mostSheetPixels)} million on one sheet can be made. ` +
    "Choose fewer dots per inch (300 is plenty on paper, 200 on cloth) or a smaller print.",
  "no-such-sheet": ({ sheets }) =>
    `This negative has ${sheetCount(sheets)}: ask for one of them, counted from 1, row by row.`,
  "picture-file-holds-one-sheet": ({ sheets }) =>
    `This negative takes ${sheets} sheets of film, and a PNG holds one. Ask for a PDF, which holds them all, or ` +
    "for one sheet at a time.",
  "picture-beyond-film": ({ number, widthMm, heightMm, roomWidthMm, roomHeightMm }) =>
    `Picture ${number} takes ${formatSize(widthMm, heightMm)} with its margins, and the film has room for ` +
    `${formatSize(roomWidthMm, roomHeightMm)}. Choose a smaller print or a larger film.`,
  "negative-film-too-small":
    "The film is too small for these margins and this overlap: choose a larger film, narrower margins or less overlap.",
  "negative-too-narrow-for-strip":
    "The picture is too narrow for the strip of patches under it: it needs 34 mm. Make the print wider, or leave the " +
    "strip out.",
};
