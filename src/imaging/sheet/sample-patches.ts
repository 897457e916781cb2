// Light of every patch and of the white between them, on the flat picture of the sheet.
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import type { SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { PatchOffsets } from "./patch-offsets.ts";
import type { FlatSheet } from "./rectify-sheet.ts";

export interface SampledSquare {
  /** Centre on the flat picture [mm]. */
  readonly xMm: number;
  readonly yMm: number;
  readonly halfMm: number;
  /** Mean linear light without the outermost tenths. */
  readonly red: number;
  readonly luminance: number;
  readonly blue: number;
  /** Interquartile range of red over its median: a hair, an edge or a stain inside. */
  readonly spreadShare: number;
  readonly clippedShare: number;
  readonly crushedShare: number;
}

/**
 * Half the side of what is sampled, as a share of the patch: halos, chroma blur and a little misplacement stay outside.
 */
const halfShare = 0.28;

/** Every patch of the layout in its order; null where it lies outside the picture. */
export function samplePatches(flat: FlatSheet, layout: SheetLayout, offsets: PatchOffsets): (SampledSquare | null)[] {
  return layout.patches.map((patch) => {
    const [x, y] = [patch.xMm + patch.sizeMm / 2, patch.yMm + patch.sizeMm / 2];
    const offset = offsets.offsetAt(x, y);
    return sampleSquare(flat, x + offset.xMm, y + offset.yMm, patch.sizeMm * halfShare);
  });
}

/** The white where four cells meet, over the whole grid and its rim. */
export function sampleGaps(flat: FlatSheet, layout: SheetLayout, offsets: PatchOffsets): SampledSquare[] {
  const { xMm, yMm, columns, rows, pitchMm, gapMm } = layout.grid;
  const found: SampledSquare[] = [];
  for (let row = 0; row <= rows; row++) {
    for (let column = 0; column <= columns; column++) {
      const [x, y] = [xMm + column * pitchMm, yMm + row * pitchMm];
      const offset = offsets.offsetAt(x, y);
      const square = sampleSquare(flat, x + offset.xMm, y + offset.yMm, gapMm * 0.25);
      if (square !== null) found.push(square);
    }
  }
  return found;
}

export function sampleSquare(flat: FlatSheet, xMm: number, yMm: number, halfMm: number): SampledSquare | null {
  const scale = flat.pxPerMm;
  const [left, right] = [
    Math.round((xMm - halfMm) * scale),
    Math.max(Math.round((xMm - halfMm) * scale) + 1, Math.round((xMm + halfMm) * scale)),
  ];
  const [top, bottom] = [
    Math.round((yMm - halfMm) * scale),
    Math.max(Math.round((yMm - halfMm) * scale) + 1, Math.round((yMm + halfMm) * scale)),
  ];
  if (left < 0 || top < 0 || right > flat.width || bottom > flat.height) return null;
  const count = (right - left) * (bottom - top);
  const red = new Float64Array(count);
  const luminance = new Float64Array(count);
  const blue = new Float64Array(count);
  let [clipped, crushed, i] = [0, 0, 0];
  for (let y = top; y < bottom; y++) {
    for (let x = left; x < right; x++, i++) {
      const at = y * flat.width + x;
      red[i] = flat.red[at]!;
      if (!(red[i] === red[i])) return null;
      luminance[i] = luminanceFromLinearSrgb(flat.red[at]!, flat.green[at]!, flat.blue[at]!);
      blue[i] = flat.blue[at]!;
      if (flat.limits[at]! & 1) clipped++;
      if (flat.limits[at]! & 2) crushed++;
    }
  }
  red.sort();
  luminance.sort();
  blue.sort();
  const middle = red[count >> 1]!;
  return {
    xMm,
    yMm,
    halfMm,
    red: trimmedMean(red),
    luminance: trimmedMean(luminance),
    blue: trimmedMean(blue),
    spreadShare: middle > 0 ? (red[Math.floor(count * 0.75)]! - red[Math.floor(count * 0.25)]!) / middle : 0,
    clippedShare: clipped / count,
    crushedShare: crushed / count,
  };
}

/** Mean of sorted numbers without the lowest and highest tenth. */
function trimmedMean(sorted: Float64Array): number {
  const cut = Math.floor(sorted.length / 10);
  let sum = 0;
  for (let i = cut; i < sorted.length - cut; i++) sum += sorted[i]!;
  return sum / (sorted.length - 2 * cut);
}
