// What is said when a strip, a sheet or a bed cannot be found or measured in a picture.
import { formatFixed } from "#shared/format/number.ts";
import type { CornerTrouble, FieldTrouble, FindingTrouble } from "#shared/reading/reading-troubles.ts";
import { pictureSentences } from "./picture-trouble-words.ts";
import { sentenceOf, type Sentences } from "#shared/words/sentences.ts";

export const findingSentences: Sentences<CornerTrouble | FindingTrouble | FieldTrouble> = {
  "corner-outside": ({ corner, widthPx, heightPx }) =>
    `Corner ${corner} lies outside the picture (${widthPx} x ${heightPx} pixels). The whole strip must be in the ` +
    "picture: move the corner in, or take the picture again from a little further away.",
  "corners-mirrored":
    "The corners run the wrong way round, as if the picture were mirrored. Give them as the strip is read: " +
    "top-left, top-right, bottom-right, bottom-left. If the picture is mirrored, mirror it back first.",
  "corners-crossed":
    "The corners cross or fold over. Give them in order round the strip: top-left, top-right, bottom-right, " +
    "bottom-left, with step 1 at the first corner's end.",
  "corners-turned":
    "The steps run from corner 1 to corner 4 here, but should run from corner 1 to corner 2: the corners were begun " +
    "at another corner. Turn them by a quarter until step 1 lies between corners 4 and 1.",
  "strip-too-small": ({ steps, widthPx, heightPx }) =>
    `The strip is too small in this picture: ${steps} steps share ${Math.round(widthPx)} x ${Math.round(heightPx)} ` +
    "pixels. " +
    (heightPx > widthPx ? "If they run the other way, turn the corners by a quarter. Else take" : "Take") +
    " the picture from nearer, so that every step is at least ten pixels wide.",
  "sides-differ":
    "Opposite sides of the strip differ too much for a flat strip. Check the corners, and take the picture from " +
    "straight above.",
  "other-kind-of-tablet":
    "This kind of tablet is read in another way. Choose a step tablet, a timed strip or a strip of levels.",
  "order-unknown":
    "The steps of this strip do not run from dark to pale in order, so it cannot be found by itself. Mark its " +
    "four corners, starting at step 1.",
  "strip-beyond-picture": ({ steps }) =>
    `The strip seems to run out of the picture: ${steps} steps do not fit inside it. Take the picture again with ` +
    "the whole strip and some paper round it, or check the number of steps and mark the corners.",
  "no-strip":
    "No strip was found in this picture. Take it from nearer and straight above, so that the strip fills at least " +
    "a third of the picture, or mark its four corners, starting at step 1 (the darkest blue).",
  "strip-unsure":
    "The strip could not be found with confidence in this picture. Check the corners that are suggested, or mark " +
    "them yourself, starting at step 1 (the darkest blue).",
  "step-too-small": ({ step }) => `Step ${step} covers too few pixels to be measured. Take the picture from nearer.`,
  "even-light-other-shape":
    "The picture of the plain sheet has another shape than the picture of the print. Take both from the same " +
    "place with the same camera, one right after the other.",
  "even-light-no-sheet":
    "The second picture does not show a plain sheet over the whole frame. Lay a sheet of plain white paper that " +
    "fills the picture, and take it from the same place under the same light.",
  "even-light-unreadable": ({ trouble }) => `The picture of the plain sheet: ${sentenceOf(pictureSentences, trouble)}`,
  "spot-beyond-picture": "A place lies at the picture's very edge or beyond it: show one further inside.",
  "sheet-of-inks":
    "This is an ink sheet, which tells how much ink the film needs, not a wedge sheet. Read it on the page “Which " +
    "ink, and how much” under the wedge sheet.",
  "sheet-not-of-inks":
    "This is a wedge sheet of grey levels, not an ink sheet. Make a new test of it with the tablet “Our wedge sheet”.",
  "no-sheet":
    "No wedge sheet was found in this picture: its square code could not be read. Take the picture sharp, from " +
    "straight above, with the whole sheet in it and at least half the picture wide; or drag the four corners to " +
    "the centres of the ring marks.",
  "sheet-marks-missing":
    "The wedge sheet's code was read, but not enough of its four ring marks were found. Have the whole sheet in " +
    "the picture, flat and sharp; or drag the four corners to the centres of the ring marks.",
  "sheet-corners-crossed":
    "The corners cross or fold over. Give the centres of the sheet's four ring marks in order: the one with the " +
    "white hole (top-left), top-right, bottom-right, bottom-left.",
  "sheet-too-small": ({ pxPerMm, fewestPxPerMm }) =>
    `The wedge sheet is too small in this picture: ${formatFixed(pxPerMm, 1)} pixels for each millimetre, and at ` +
    `least ${fewestPxPerMm} are needed. Take the picture from nearer, so that the sheet fills it, or scan at 150 dpi ` +
    "or more.",
  "sheet-outside":
    "More than a quarter of the sheet's patches lie outside the picture. Take the picture again with the whole " +
    "sheet in it, or check the corners.",
  "sheet-chaotic":
    "The patches do not agree with one another: repeats of one grey level came out too different for a wedge " +
    "sheet in this place. Check the corners (the top-left one is the ring mark with a white hole), and that the " +
    "sheet's levels, repeats and width are right if its code could not be read.",
  "even-light-other-size": ({ widthPx, heightPx, wantedWidthPx, wantedHeightPx }) =>
    `The even-light picture has another size (${widthPx} x ${heightPx}, not ${wantedWidthPx} x ${wantedHeightPx}). ` +
    "Take both from the same place with the same camera and zoom, and crop neither.",
  "no-paper-border":
    "The camera's own light fall-off cannot be told from the lamp's in this picture. Leave a border of bare paper " +
    "on at least three sides of the exposed area and keep it in the picture; or send a second picture of a plain " +
    "white sheet, taken from the same place in the same light.",
  "border-uneven":
    "The border round the exposed area is not even enough to be bare paper, so the picture's own light cannot be " +
    "told from the lamp's. Check the corners, or send a second picture of a plain white sheet, taken from the " +
    "same place in the same light.",
};
