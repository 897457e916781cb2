// The sheet seen from straight above, in linear light, at a fixed number of pixels per millimetre.
import { component } from "#shared/density/matrix.ts";
import { mapPoint, type Homography } from "#shared/reading/corners/homography.ts";
import type { SheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";

export interface FlatSheet {
  readonly width: number;
  readonly height: number;
  readonly pxPerMm: number;
  /** Linear light in sRGB primaries, row by row. */
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
  /** Picture pixels per millimetre in the middle of the sheet. */
  readonly picturePxPerMm: number;
  /** Bit 1: a channel at full scale; bit 2: a channel at zero. */
  readonly limits: Uint8Array;
}

const finestPxPerMm = 8;
const coarsestPxPerMm = 4;

/** Picture pixels per millimetre in the middle of the sheet. */
function picturePxPerMm(toPicture: Homography, layout: SheetLayout): number {
  const [x, y] = [layout.options.widthMm / 2, layout.heightMm / 2];
  const [a, b, c] = [mapPoint(toPicture, x, y), mapPoint(toPicture, x + 1, y), mapPoint(toPicture, x, y + 1)];
  return Math.sqrt(Math.hypot(b[0] - a[0], b[1] - a[1]) * Math.hypot(c[0] - a[0], c[1] - a[1]));
}

/** Resamples the sheet's block between the four nearest pixels. Places outside the picture become NaN. */
export function flatSheet(raster: Raster, layout: SheetLayout, toPicture: Homography): FlatSheet {
  const scale = picturePxPerMm(toPicture, layout);
  return flatRegion(raster, toPicture, {
    xMm: 0,
    yMm: 0,
    widthMm: layout.options.widthMm,
    heightMm: layout.heightMm,
    pxPerMm: Math.min(finestPxPerMm, Math.max(coarsestPxPerMm, scale)),
    picturePxPerMm: scale,
  });
}

/** A rectangle in the sheet's millimetres, which may reach beyond the sheet. */
export interface FlatRegion {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly pxPerMm: number;
  readonly picturePxPerMm: number;
}

/**
 * Resamples a rectangle of the sheet's plane between the four nearest pixels. Places outside the picture become NaN.
 */
export function flatRegion(raster: Raster, toPicture: Homography, region: FlatRegion): FlatSheet {
  const { pxPerMm, picturePxPerMm: scale } = region;
  const width = Math.ceil(region.widthMm * pxPerMm);
  const height = Math.ceil(region.heightMm * pxPerMm);
  const [red, green, blue] = [
    new Float32Array(width * height),
    new Float32Array(width * height),
    new Float32Array(width * height),
  ];
  const limits = new Uint8Array(width * height);
  const { data, channels, matrix } = raster;
  const [tableR, tableG, tableB] = [
    raster.linear[0]!,
    raster.linear[channels === 1 ? 0 : 1]!,
    raster.linear[channels === 1 ? 0 : 2]!,
  ];
  const [stepG, stepB] = channels === 1 ? [0, 0] : [1, 2];
  const full = raster.bitsPerChannel === 16 ? 65_535 : 255;
  const row = raster.width * channels;
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = toPicture;
  for (let y = 0; y < height; y++) {
    const yMm = region.yMm + (y + 0.5) / pxPerMm;
    for (let x = 0; x < width; x++) {
      const xMm = region.xMm + (x + 0.5) / pxPerMm;
      const w = m6 * xMm + m7 * yMm + m8;
      const px = (m0 * xMm + m1 * yMm + m2) / w;
      const py = (m3 * xMm + m4 * yMm + m5) / w;
      const at = y * width + x;
      if (!(px >= 0 && py >= 0 && px < raster.width - 1 && py < raster.height - 1)) {
        red[at] = green[at] = blue[at] = Number.NaN;
        continue;
      }
      const ix = Math.floor(px);
      const iy = Math.floor(py);
      const [fx, fy] = [px - ix, py - iy];
      const [w00, w10, w01, w11] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy];
      const o = iy * row + ix * channels;
      const p = o + channels;
      const q = o + row;
      const s = q + channels;
      const r = w00 * tableR[data[o]!]! + w10 * tableR[data[p]!]! + w01 * tableR[data[q]!]! + w11 * tableR[data[s]!]!;
      const g =
        w00 * tableG[data[o + stepG]!]! +
        w10 * tableG[data[p + stepG]!]! +
        w01 * tableG[data[q + stepG]!]! +
        w11 * tableG[data[s + stepG]!]!;
      const b =
        w00 * tableB[data[o + stepB]!]! +
        w10 * tableB[data[p + stepB]!]! +
        w01 * tableB[data[q + stepB]!]! +
        w11 * tableB[data[s + stepB]!]!;
      const high = Math.max(data[o]!, data[o + stepG]!, data[o + stepB]!);
      const low = Math.min(data[o]!, data[o + stepG]!, data[o + stepB]!);
      limits[at] = (high === full ? 1 : 0) | (low === 0 ? 2 : 0);
      if (matrix === null || channels === 1) {
        red[at] = r;
        green[at] = g;
        blue[at] = b;
      } else {
        red[at] = component(matrix, 0, r, g, b);
        green[at] = component(matrix, 1, r, g, b);
        blue[at] = component(matrix, 2, r, g, b);
      }
    }
  }
  return { width, height, pxPerMm, red, green, blue, picturePxPerMm: scale, limits };
}
