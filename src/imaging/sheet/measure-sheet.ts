// One picture of a wedge sheet's print to one reading, a step for every grey level.
import { areGrey } from "#shared/reading/picture-warnings.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import { mapPoint } from "#shared/reading/corners/homography.ts";
import { sheetVeil, type SheetVeil } from "#shared/reading/sheet-veil.ts";
import { sheetTones } from "#shared/reading/sheet-tones.ts";
import type { MeasuredReading, SheetWarning } from "#shared/reading/reading-facts.ts";
import type { Corners, PointPx, ReadingRequest, ReadingStep, SheetReading } from "#shared/schema/reading.ts";
import { inkAmounts } from "#shared/tablet/film-inks.ts";
import type { FilmInkName } from "#shared/schema/ink.ts";
import { decodePicture, type Decoded } from "#src/imaging/decode/decode.ts";
import { squaresBeyond } from "./beyond-sheet.ts";
import { findSheet, placeSheet, type SheetPlace } from "./locate-sheet.ts";
import { patchOffsets } from "./patch-offsets.ts";
import { flatSheet } from "./rectify-sheet.ts";
import { endOfScaleShare, patchColours, patchValues, whiteOfSheet } from "./patch-densities.ts";
import { sheetSteps, type MeasuredPatch } from "./sheet-steps.ts";
import { sampleGaps, samplePatches, type SampledSquare } from "./sample-patches.ts";

/** Below this many picture pixels per millimetre white gaps and patches blur into one another. */
const fewestPxPerMm = 3;
/** Density scatter between repeats of one tone, as a share, above which the sheet cannot have been placed rightly. */
const chaoticScatter = 0.25;
const mapColumns = 8;
const mapRows = 6;

export interface InkSheetJob {
  readonly picture: Uint8Array;
  readonly corners?: Corners | undefined;
}

type SheetTablet = Extract<ReadingRequest["tablet"], { kind: "sheet" }>;

/** What an ink sheet's code says of its inks, beside its reading, whose steps' inputs are the layout's levels. */
export interface MeasuredInkSheet {
  readonly reading: MeasuredReading;
  readonly inks: readonly { readonly level: number; readonly ink: FilmInkName; readonly amount: number }[];
}

/**
 * Reads the print of a wedge sheet.
 * @throws TroubleError "no-tablet-found" or "corners-impossible"
 */
export async function measureSheet(
  decoded: Decoded,
  request: ReadingRequest & { tablet: SheetTablet },
): Promise<MeasuredReading> {
  const { place, reading } = await readSheet(decoded, request);
  if (place.inkMask !== null) throw readingTrouble("bad-request", { code: "sheet-of-inks" }, { field: "tablet" });
  return reading;
}

/** Reads the print of an ink sheet. @throws TroubleError "no-tablet-found", "corners-impossible" or "bad-request" */
export async function measureInkSheet({ picture, corners }: InkSheetJob): Promise<MeasuredInkSheet> {
  const decoded = await decodePicture(picture);
  const { place, reading } = await readSheet(decoded, { tablet: { kind: "sheet" }, corners });
  const { layout, inkMask, inverted } = place;
  const amounts = inkMask === null ? null : inkAmounts(inkMask, layout.options);
  if (amounts === null) throw readingTrouble("bad-request", { code: "sheet-not-of-inks" }, { field: "photo" });
  return {
    reading,
    inks: amounts.map((amount, i) => ({ level: inverted ? 255 - layout.levels[i]! : layout.levels[i]!, ...amount })),
  };
}

async function readSheet(
  decoded: Decoded,
  request: ReadingRequest & { tablet: SheetTablet },
): Promise<{ place: SheetPlace; reading: MeasuredReading }> {
  const { raster } = decoded;
  const place =
    request.corners === undefined ? await findSheet(raster) : await placeSheet(raster, request.corners, request.tablet);
  const { layout, toPicture } = place;
  const flat = flatSheet(raster, layout, toPicture);
  if (!(flat.picturePxPerMm >= fewestPxPerMm)) {
    throw readingTrouble(
      "no-tablet-found",
      { code: "sheet-too-small", pxPerMm: flat.picturePxPerMm, fewestPxPerMm },
      { field: "photo" },
    );
  }
  const offsets = patchOffsets(flat, layout, place.inverted);
  const patches = samplePatches(flat, layout, offsets);
  if (patches.filter((patch) => patch === null).length * 4 > patches.length) {
    throw readingTrouble("corners-impossible", { code: "sheet-outside" }, { field: "corners" });
  }
  const white = whiteOfSheet(place, patches, () => sampleGaps(flat, layout, offsets));
  // A sheet printed as a positive has no white of its own to compare with.
  const veil = place.inverted ? null : sheetVeil(squaresBeyond(raster, toPicture, layout, white.at));
  const redValues = patchValues(place, patches, { light: (square) => square.red, white: white.red });
  const red = sheetTones(redValues, layout.levels.length);
  const visual = sheetTones(
    patchValues(place, patches, { light: (square) => square.luminance, white: white.luminance }).map((value, i) => ({
      ...value,
      usable: value.usable && !red.wild[i],
    })),
    layout.levels.length,
  );
  if (red.scatterShare > chaoticScatter) {
    throw readingTrouble("no-tablet-found", { code: "sheet-chaotic" }, { field: "corners" });
  }
  const measured = patches.map((square, i): MeasuredPatch | null => {
    if (square === null) return null;
    const { density, usable, levelIndex } = redValues[i]!;
    const box = boxOf(square, (x, y) => mapPoint(toPicture, x, y));
    return { square, levelIndex, density, leftOut: red.wild[i]! || !usable, box };
  });
  const { steps, stepOfLevel } = sheetSteps(place, measured, { red, visual, veil, whiteSigma: white.redSigma });
  const sheet = sheetPart(
    place,
    veil,
    red.unevennessAt,
    measured.flatMap((patch) => {
      const index = patch === null ? undefined : stepOfLevel.get(patch.levelIndex);
      if (patch === null || index === undefined) return [];
      return [{ index, red: patch.density + (veil?.red ?? 0), box: patch.box, leftOut: patch.leftOut }];
    }),
  );
  const reading: MeasuredReading = {
    image: {
      width: raster.width,
      height: raster.height,
      bitsPerChannel: decoded.fileBits,
      profile: raster.profile,
    },
    location: {
      method: request.corners === undefined ? "found" : "given",
      corners: ofEachCorner(layout.marks, (mark) => mapPoint(toPicture, mark.xMm, mark.yMm)),
      confidence: request.corners === undefined ? confidence(place, offsets.residualMm) : 1,
    },
    steps,
    warnings: [
      ...decoded.warnings,
      ...(areGrey(patchColours(place, patches, white)) ? [{ code: "picture-grey", of: "sheet" } as const] : []),
      ...sheetWarnings(place, sheet, steps, patches),
    ],
    sheet,
  };
  return { place, reading };
}

function boxOf({ xMm, yMm, halfMm }: SampledSquare, toPx: (x: number, y: number) => PointPx): Corners {
  return [
    toPx(xMm - halfMm, yMm - halfMm),
    toPx(xMm + halfMm, yMm - halfMm),
    toPx(xMm + halfMm, yMm + halfMm),
    toPx(xMm - halfMm, yMm + halfMm),
  ];
}

/** Near 1 when marks and patches agree to a fraction of a patch; the code itself can hardly be mistaken. */
function confidence(place: SheetPlace, residualMm: number | null): number {
  const doubtMm = Math.max(place.markErrorMm ?? 0, residualMm ?? 1);
  return Math.max(0.5, 1 - doubtMm / place.layout.grid.pitchMm);
}

function sheetPart(
  place: SheetPlace,
  veil: SheetVeil | null,
  unevennessAt: (x: number, y: number) => number,
  patches: SheetReading["patches"],
): SheetReading {
  const { grid, options, heightMm } = place.layout;
  const percent: number[] = [];
  for (let row = 0; row < mapRows; row++) {
    for (let column = 0; column < mapColumns; column++) {
      const xMm = grid.xMm + ((column + 0.5) / mapColumns) * grid.columns * grid.pitchMm;
      const yMm = grid.yMm + ((row + 0.5) / mapRows) * grid.rows * grid.pitchMm;
      percent.push(100 * unevennessAt((2 * xMm) / options.widthMm - 1, (2 * yMm) / heightMm - 1));
    }
  }
  return {
    layout: { version: place.layout.version, ...options },
    correctionMark: place.correctionMark,
    mirrored: place.mirrored,
    inverted: place.inverted,
    registration: place.registration,
    zero: veil === null ? { of: "own-white" } : { of: "bare-paper", veilRed: veil.red, sigma: veil.sigma },
    unevenness: { columns: mapColumns, rows: mapRows, percent, worstPercent: Math.max(...percent.map(Math.abs)) },
    patches,
  };
}

/** Smooth unevenness above this is worth a word; the tones have it taken out already. common practice, no source */
const noticeableUnevenPercent = 8;

function sheetWarnings(
  place: SheetPlace,
  sheet: SheetReading,
  steps: readonly ReadingStep[],
  patches: readonly (SampledSquare | null)[],
): SheetWarning[] {
  const warnings: SheetWarning[] = [];
  if (place.mirrored) warnings.push({ code: "sheet-mirrored" });
  if (place.inverted) warnings.push({ code: "sheet-inverted" });
  else if (sheet.zero?.of === "own-white") warnings.push({ code: "sheet-zero-own-white" });
  const { levels, replicates, widthMm } = sheet.layout;
  if (place.registration === "marks") warnings.push({ code: "sheet-code-unread", levels, replicates, widthMm });
  if (place.registration === "corners") warnings.push({ code: "sheet-marks-unfound" });
  const percent = sheet.unevenness.worstPercent;
  if (percent > noticeableUnevenPercent) warnings.push({ code: "coating-uneven", percent });
  const lost = sheet.patches.filter((patch) => patch.leftOut).length;
  if (lost > 0) warnings.push({ code: "patches-left-out", count: lost, of: sheet.patches.length });
  const outside = patches.filter((patch) => patch === null).length;
  if (outside > 0) warnings.push({ code: "sheet-partly-outside", count: outside, of: patches.length });
  const crushed = steps.filter((step) => step.flags.includes("crushed")).map((step) => Math.round(step.input));
  if (crushed.length > 0) warnings.push({ code: "steps-crushed", levels: crushed });
  const clipped = patches.flatMap((patch, i) =>
    patch !== null && patch.clippedShare > endOfScaleShare ? [place.layout.patches[i]!.levelIndex] : [],
  );
  if (clipped.length > 0) warnings.push({ code: "steps-clipped", levels: clipped });
  return warnings;
}
