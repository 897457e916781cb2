// One picture of a wedge sheet's print to one reading, a step for every grey level.
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { mapPoint } from "#shared/reading/corners/homography.ts";
import { sheetVeil, type SheetVeil } from "#shared/reading/sheet-veil.ts";
import { sheetTones, type SheetPatchValue } from "#shared/reading/sheet-tones.ts";
import { smoothSurface, surfaceAt } from "#shared/reading/light/surface-fit.ts";
import type { MeasuredReading, SheetWarning } from "#shared/reading/reading-facts.ts";
import type { Corners, PointPx, ReadingRequest, ReadingStep, SheetReading } from "#shared/schema/reading.ts";
import type { Decoded } from "#src/imaging/decode/decode.ts";
import { squaresBeyond } from "./beyond-sheet.ts";
import { findSheet, placeSheet, type SheetPlace } from "./locate-sheet.ts";
import { patchOffsets } from "./patch-offsets.ts";
import { flatSheet } from "./rectify-sheet.ts";
import { sampleGaps, samplePatches, type SampledSquare } from "./sample-patches.ts";

/** Below this many picture pixels per millimetre white gaps and patches blur into one another. */
const fewestPxPerMm = 3;
/** Red light that counts as none: half an 8-bit code near black. */
const noRed = 0.5 / 255 / 12.92;
/**
 * A patch whose light varies this much inside (interquartile range) has something lying on it, or is not where it
 * should be.
 */
const unevenShare = 0.6;
const endOfScaleShare = 0.02;
/** Density scatter between repeats of one tone, as a share, above which the sheet cannot have been placed rightly. */
const chaoticScatter = 0.25;
const mapColumns = 8;
const mapRows = 6;

type SheetTablet = Extract<ReadingRequest["tablet"], { kind: "sheet" }>;

/**
 * Reads the print of a wedge sheet.
 * @throws TroubleError "no-tablet-found" or "corners-impossible"
 */
export async function measureSheet(
  decoded: Decoded,
  request: ReadingRequest & { tablet: SheetTablet },
): Promise<MeasuredReading> {
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
  const centreOf = (square: SampledSquare): { x: number; y: number } => ({
    x: (2 * square.xMm) / layout.options.widthMm - 1,
    y: (2 * square.yMm) / layout.heightMm - 1,
  });
  const white = place.inverted
    ? patches.filter((patch, i): patch is SampledSquare => patch !== null && layout.patches[i]!.levelIndex === 0)
    : sampleGaps(flat, layout, offsets);
  const surfaceOf = (light: (square: SampledSquare) => number) =>
    smoothSurface(
      white.map((square) => ({ ...centreOf(square), value: Math.log10(Math.max(light(square), 1e-6)) })),
      place.inverted ? 1 : 3,
    );
  const redWhite = surfaceOf((square) => square.red);
  const luminanceWhite = surfaceOf((square) => square.luminance);
  const blueWhite = surfaceOf((square) => square.blue);
  // A sheet printed as a positive has no white of its own to compare with.
  const veil = place.inverted
    ? null
    : sheetVeil(
        squaresBeyond(raster, toPicture, layout, (x, y) => ({
          red: surfaceAt(redWhite, x, y),
          blue: surfaceAt(blueWhite, x, y),
          luminance: surfaceAt(luminanceWhite, x, y),
        })),
      );
  const [redVeil, visualVeil] = [veil?.red ?? 0, veil?.visual ?? 0];

  const values = (light: (square: SampledSquare) => number, surface: typeof redWhite): SheetPatchValue[] =>
    patches.map((patch, i) => {
      const { levelIndex } = layout.patches[i]!;
      if (patch === null) return { levelIndex, x: 0, y: 0, density: 0, usable: false };
      const { x, y } = centreOf(patch);
      const usable = patch.spreadShare < unevenShare && patch.clippedShare <= endOfScaleShare;
      return {
        levelIndex,
        x,
        y,
        density: surfaceAt(surface, x, y) - Math.log10(Math.max(light(patch), noRed)),
        usable,
      };
    });
  const redValues = values((square) => square.red, redWhite);
  const red = sheetTones(redValues, layout.levels.length);
  const visual = sheetTones(
    values((square) => square.luminance, luminanceWhite).map((value, i) => ({
      ...value,
      usable: value.usable && !red.wild[i],
    })),
    layout.levels.length,
  );
  if (red.scatterShare > chaoticScatter) {
    throw readingTrouble("no-tablet-found", { code: "sheet-chaotic" }, { field: "corners" });
  }

  const boxes = patches.map((patch) => (patch === null ? null : boxOf(patch, (x, y) => mapPoint(toPicture, x, y))));
  // The veil's own uncertainty is common to all steps and does not bend the scale: it stays with the sheet's zero.
  const whiteSigma = redWhite.residual / Math.sqrt(Math.max(1, white.length / 4));
  const steps: ReadingStep[] = [];
  const stepOfLevel = new Map<number, number>();
  const order = layout.levels.map((_, i) => i);
  if (place.inverted) order.reverse();
  for (const levelIndex of order) {
    const [tone, look] = [red.tones[levelIndex]!, visual.tones[levelIndex]!];
    const own = layout.patches.flatMap((patch, i) => (patch.levelIndex === levelIndex && boxes[i] !== null ? [i] : []));
    if (tone.density === null || look.density === null || own.length === 0) continue;
    const first = patches[own[0]!]!;
    const flags: string[] = [];
    const share = (of: (square: SampledSquare) => number): number =>
      own.reduce((sum, i) => sum + of(patches[i]!), 0) / own.length;
    if (share((square) => square.crushedShare) > endOfScaleShare) flags.push("crushed");
    if (share((square) => square.red) < noRed) flags.push("out-of-gamut");
    if (own.some((i) => red.wild[i] || !redValues[i]!.usable)) flags.push("uneven");
    stepOfLevel.set(levelIndex, steps.length + 1);
    steps.push({
      index: steps.length + 1,
      input: place.inverted ? 255 - layout.levels[levelIndex]! : layout.levels[levelIndex]!,
      red: tone.density + redVeil,
      visual: look.density + visualVeil,
      lightness: Math.min(100, lightnessFromLuminance(10 ** -(look.density + visualVeil))),
      sigma: Math.hypot(tone.sigma, whiteSigma),
      sigmaVisual: Math.hypot(look.sigma, whiteSigma),
      centre: mapPoint(toPicture, first.xMm, first.yMm),
      box: boxes[own[0]!]!,
      flags,
    });
  }
  const sheet = sheetPart(
    place,
    veil,
    red.unevennessAt,
    patches.flatMap((patch, i) =>
      patch === null || boxes[i] === null || !stepOfLevel.has(layout.patches[i]!.levelIndex)
        ? []
        : [
            {
              index: stepOfLevel.get(layout.patches[i]!.levelIndex)!,
              red: redValues[i]!.density + redVeil,
              box: boxes[i]!,
              leftOut: red.wild[i]! || !redValues[i]!.usable,
            },
          ],
    ),
  );
  return {
    image: {
      width: raster.width,
      height: raster.height,
      bitsPerChannel: decoded.fileBits,
      profile: raster.profile,
    },
    location: {
      method: request.corners === undefined ? "found" : "given",
      corners: layout.marks.map((mark) => mapPoint(toPicture, mark.xMm, mark.yMm)) as unknown as Corners,
      confidence: request.corners === undefined ? confidence(place, offsets.residualMm) : 1,
    },
    steps,
    warnings: [...decoded.warnings, ...sheetWarnings(place, sheet, steps, patches)],
    sheet,
  };
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
