// What lies round the sheet's block in the picture, square by square, against the sheet's own white beside it.
import type { Homography } from "#shared/reading/corners/homography.ts";
import type { SquareBeyond } from "#shared/reading/sheet-veil.ts";
import type { SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";
import { flatRegion } from "./rectify-sheet.ts";
import { sampleSquare, type SampledSquare } from "./sample-patches.ts";

/** Looked at this far beyond the block [mm]; coated film round the block and a ragged edge come first. */
const reachMm = 60;
const pitchMm = 6;
const halfMm = 2;
const pxPerMm = 2;
/** A square whose red varies more than this inside is an edge, not one surface. */
const evenShare = 0.15;

/** log10 of the sheet's own white at a place (-1 to 1 across the block), for each kind of light. */
export type WhiteAt = (
  x: number,
  y: number,
) => { readonly red: number; readonly blue: number; readonly luminance: number };

/** Even squares outside the block. */
export function squaresBeyond(
  raster: Raster,
  toPicture: Homography,
  layout: SheetLayout,
  whiteAt: WhiteAt,
): SquareBeyond[] {
  const { widthMm } = layout.options;
  const { heightMm } = layout;
  const flat = flatRegion(raster, toPicture, {
    xMm: -reachMm,
    yMm: -reachMm,
    widthMm: widthMm + 2 * reachMm,
    heightMm: heightMm + 2 * reachMm,
    pxPerMm,
    picturePxPerMm: pxPerMm,
  });
  const found: SquareBeyond[] = [];
  for (let yMm = -reachMm + halfMm; yMm < heightMm + reachMm; yMm += pitchMm) {
    for (let xMm = -reachMm + halfMm; xMm < widthMm + reachMm; xMm += pitchMm) {
      if (xMm > -pitchMm && xMm < widthMm + pitchMm && yMm > -pitchMm && yMm < heightMm + pitchMm) continue;
      const square = sampleSquare(flat, xMm + reachMm, yMm + reachMm, halfMm);
      if (square === null || square.spreadShare > evenShare || square.clippedShare > 0) continue;
      const within = (value: number): number => Math.max(-1, Math.min(1, value));
      found.push(against(square, whiteAt(within((2 * xMm) / widthMm - 1), within((2 * yMm) / heightMm - 1))));
    }
  }
  return found;
}

function against(square: SampledSquare, white: ReturnType<WhiteAt>): SquareBeyond {
  const density = (light: number, ownWhite: number): number => Math.log10(Math.max(light, 1e-6)) - ownWhite;
  return {
    red: density(square.red, white.red),
    blue: density(square.blue, white.blue),
    luminance: density(square.luminance, white.luminance),
  };
}
