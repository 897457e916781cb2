// How large the printed picture becomes, from whichever side was named.
import type { NegativeRequest } from "#shared/schema/negative.ts";
import { mmPerInch } from "#shared/units/inch.ts";

/** Pixels of a length. @example pixelsOf(100, 300) // 1181 */
export function pixelsOf(mm: number, dpi: number): number {
  return Math.round((mm / mmPerInch) * dpi);
}

/**
 * Width and height of the printed picture in whole pixels: the named side exact to a pixel, the other by the shape of
 * the crop.
 * @param picture size of the upright picture [px]
 */
export function pictureSizePx(
  request: Pick<NegativeRequest, "widthMm" | "heightMm" | "longSideMm" | "dpi" | "crop">,
  picture: { readonly width: number; readonly height: number },
): { readonly widthPx: number; readonly heightPx: number } {
  const { crop, dpi } = request;
  const shape = (crop.height * picture.height) / (crop.width * picture.width);
  const side = (mm: number) => Math.max(1, pixelsOf(mm, dpi));
  const byWidth = (widthPx: number) => ({ widthPx, heightPx: Math.max(1, Math.round(widthPx * shape)) });
  const byHeight = (heightPx: number) => ({ widthPx: Math.max(1, Math.round(heightPx / shape)), heightPx });
  if (request.widthMm != null) return byWidth(side(request.widthMm));
  if (request.heightMm != null) return byHeight(side(request.heightMm));
  const long = side(request.longSideMm ?? 0);
  return shape <= 1 ? byWidth(long) : byHeight(long);
}

/** Pixels as millimetres. */
export function millimetresOf(pixels: number, dpi: number): number {
  return (pixels / dpi) * mmPerInch;
}
