// What is said about a wedge sheet in a picture, and about one that cannot be made.
import type { SheetWarning } from "#shared/reading/reading-facts.ts";
import type { SheetTrouble } from "#shared/tablet/sheet-troubles.ts";
import type { Sentences } from "#shared/words/sentences.ts";

export const sheetSentences: Sentences<SheetWarning> = {
  "sheet-zero-own-white":
    "No bare paper was seen round the sheet, so all densities count from the sheet's own white, which may be " +
    "veiled. Leave a rim of bare paper round the coating and keep it in the picture: then the veil is told.",
  "sheet-mirrored":
    "The sheet reads mirrored on this print: the film lay with the other side on the coating. The tones are read " +
    "all the same, but ink away from the coating prints softer; lay the printed side on the coating so that text " +
    "reads right.",
  "sheet-inverted":
    "The film was printed as a positive: its marks came out light on a dark ground. The levels were turned round " +
    "to what the film really carried. Next time print the file as it is, without inverting it; densities from " +
    "this print are less sure.",
  "sheet-code-unread": ({ levels, replicates, widthMm }) =>
    `The sheet's code could not be read, so ${levels} levels, ${replicates} repeats and ${widthMm} mm were taken ` +
    "as given. If your sheet has other options, say so.",
  "sheet-marks-unfound":
    "The ring marks were not found, so the patches were placed by the corners given. Check the boxes on the picture.",
  "coating-uneven": ({ percent }) =>
    `The print is uneven: a dark tone is up to ${Math.round(percent)} % denser or paler in places than on ` +
    "average. The repeats were evened out, so the tones hold; a more even coating or lamp makes them surer.",
  "patches-left-out": ({ count, of }) =>
    `${count} of ${of} patches differ from their repeats (a hair, a speck, a streak, a reflection) and were left out.`,
  "sheet-partly-outside": ({ count, of }) =>
    `${count} of ${of} patches lie outside the picture and were left out. Take the picture with the whole sheet in it.`,
  "steps-crushed": ({ levels }) =>
    `Red light is cut off at black at grey levels ${levels.join(", ")}, so their densities are only lower limits. ` +
    "Scan or photograph with 16 bits, a wider colour space, or a little more exposure.",
  "steps-clipped":
    "The picture is overexposed in the lightest patches: the brightest values are cut off. Take it again a little " +
    "darker.",
};

export const sheetTroubleSentences: Sentences<SheetTrouble> = {
  "newer-sheet-layout": ({ layoutVersion, knownVersion }) =>
    `This wedge sheet has layout ${layoutVersion}, made by a newer Wedgewright; this one knows layouts up to ` +
    `${knownVersion}. Update it, or print a sheet made here.`,
  "sheet-option-outside": ({ option, isWhole, least, most, given }) =>
    `${option} must be ${isWhole ? "a whole number " : ""}from ${least} to ${most}, not ${given}.`,
  "sheet-patches-too-small": ({ levels, replicates, widthMm, smallestPatchMm }) =>
    `${levels} levels repeated ${replicates} times would make patches under ${smallestPatchMm} mm on a sheet ` +
    `${widthMm} mm wide. Ask for fewer levels, fewer repeats or a wider sheet.`,
  "sheet-beyond-film": ({ widthMm, heightMm }) =>
    `A block ${widthMm} mm wide and ${Math.ceil(heightMm)} mm tall does not fit this film. Ask for a narrower ` +
    "sheet, fewer levels or fewer repeats.",
};
