// The small strip in the margin of a negative: a few patches sent through the negative's own curve, so that every print
// tells how its tones came out.
import { topLevel } from "#shared/correction/grey-level.ts";
import { pixelsOf } from "#shared/correction/picture-size.ts";
import type { RectanglePx } from "#shared/correction/rectangle-px.ts";

/** Patches of the strip. Enough to see a bend, few enough to fit beside a small picture. Our judgement. */
const patchCount = 12;

/** Grey levels that the strip's patches want, as positives, from the darkest blue to paper, as the print is read. */
export const stripLevels: readonly number[] = Array.from(
  { length: patchCount },
  (_, index) => Math.round(((index * topLevel) / (patchCount - 1)) * 100) / 100,
);

/** Size of one patch, gap between picture and strip, and width of the lines at its ends [mm]. */
const patchWidthMm = 8;
const patchHeightMm = 7;
const gapMm = 3;
const endLineMm = 0.5;
/** Narrowest patch whose middle can still be read [mm]. */
const leastPatchMm = 2.5;

/** Height that the strip takes under the picture, its gap included [mm]. */
export const stripRoomMm = gapMm + patchHeightMm;

export interface MarginStrip {
  /** All patches, the first (darkest blue) at the left as the print is read. */
  readonly area: RectanglePx;
  readonly patches: number;
  /** A line at each end, where the corners of the strip are to be shown. */
  readonly ends: readonly RectanglePx[];
}

/**
 * Where the strip lies on a sheet.
 * @param under left end and lower edge of the picture, and its width [px]
 * @returns null where the picture is too narrow for patches that can be read
 */
export function marginStrip(
  under: { readonly left: number; readonly bottom: number; readonly width: number },
  dpi: number,
): MarginStrip | null {
  const line = Math.max(1, pixelsOf(endLineMm, dpi));
  const patch = Math.min(pixelsOf(patchWidthMm, dpi), Math.floor((under.width - 2 * line) / patchCount));
  if (patch < pixelsOf(leastPatchMm, dpi)) return null;
  const area = {
    x: under.left + line,
    y: under.bottom + pixelsOf(gapMm, dpi),
    width: patch * patchCount,
    height: pixelsOf(patchHeightMm, dpi),
  };
  const end = { y: area.y, width: line, height: area.height };
  return {
    area,
    patches: patchCount,
    ends: [
      { ...end, x: under.left },
      { ...end, x: area.x + area.width },
    ],
  };
}
