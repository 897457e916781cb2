// Gathers the linear light of the pixels inside one cell of the strip, as small tiles, converting only what is sampled.
import type { Homography } from "#shared/reading/corners/homography.ts";
import { mapBox } from "#shared/reading/corners/homography.ts";
import type { Raster } from "./decode/decode.ts";

/** A rectangle in strip coordinates: u from step 1's end (0) to the last step's (1), v across the strip. */
export interface CellBox {
  readonly u0: number;
  readonly u1: number;
  readonly v0: number;
  readonly v1: number;
}

/**
 * Pixels of one cell in linear sRGB light, with the tile that each lies in. They are good until the next cell is read.
 */
export interface CellPixels {
  readonly count: number;
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
  readonly tile: Uint16Array;
  readonly tilesU: number;
  readonly tilesV: number;
  /** Share of the cell's pixels that lie inside the picture. */
  readonly insideShare: number;
  /**
   * Share of pixels whose greatest channel is at the end of the scale, and whose red (least) channel is at its start.
   */
  readonly clippedShare: number;
  readonly crushedShare: number;
  /** Size of one code of the red channel, and of the green, in linear light, at the cell's level. */
  readonly codeStep: number;
  readonly greenCodeStep: number;
  /** By how many codes (standard deviation) the file format's rounding may shift the red of a whole area. */
  readonly roundingCodes: number;
}

/** More pixels than this in one step add nothing that matters; larger cells are read on a coarser grid. */
const mostPixelsPerStep = 2_500;
/** A tile is about this many pixels on a side, so that its mean is steady and JPEG blocks are told apart. */
const tileSidePx = 8;

/** How finely a cell is read. */
export interface CellGrid {
  /** Most tiles along and across. */
  readonly tilesU: number;
  readonly tilesV: number;
  /** Least side of a tile [px]. */
  readonly tilePx?: number;
  /** Most pixels read, about. */
  readonly mostPixels?: number;
}

/** Whether strip geometry is usable both ways. */
export interface StripMap {
  readonly toPicture: Homography;
  readonly toStrip: Homography;
}

interface PixelRoom {
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
  readonly tile: Uint16Array;
}

const newRoom = (pixels: number): PixelRoom => ({
  red: new Float32Array(pixels),
  green: new Float32Array(pixels),
  blue: new Float32Array(pixels),
  tile: new Uint16Array(pixels),
});
/** Cells are read by hundreds, one after the other, into the same room. */
let keptRoom = newRoom(2 * mostPixelsPerStep);

function roomFor(pixels: number): PixelRoom {
  if (keptRoom.tile.length < pixels) keptRoom = newRoom(pixels);
  return keptRoom;
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const clamp = (value: number, low: number, high: number) => Math.min(Math.max(value, low), high);

/** Where a cell lies in the picture, and how finely it is read there. */
interface CellOutline {
  /** Whole pixels round the cell, also beyond the picture. */
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
  /** Every so-manieth pixel is read. */
  readonly stride: number;
  readonly tilesU: number;
  readonly tilesV: number;
  /** Pixels that a cell wholly inside the picture gives, about. */
  readonly expected: number;
  readonly centre: readonly [number, number];
}

function outlineOfCell(
  map: StripMap,
  box: CellBox,
  { tilesU, tilesV, tilePx = tileSidePx, mostPixels = mostPixelsPerStep }: CellGrid,
): CellOutline {
  const quad = mapBox(map.toPicture, box);
  const xs = quad.map((p) => p[0]);
  const ys = quad.map((p) => p[1]);
  const areaPx =
    Math.abs(
      (quad[2][0] - quad[0][0]) * (quad[3][1] - quad[1][1]) - (quad[3][0] - quad[1][0]) * (quad[2][1] - quad[0][1]),
    ) / 2;
  const stride = Math.max(1, Math.ceil(Math.sqrt(areaPx / mostPixels)));
  const longPx = Math.hypot(quad[1][0] - quad[0][0], quad[1][1] - quad[0][1]);
  const acrossPx = Math.hypot(quad[3][0] - quad[0][0], quad[3][1] - quad[0][1]);
  return {
    x0: Math.floor(Math.min(...xs)),
    x1: Math.ceil(Math.max(...xs)),
    y0: Math.floor(Math.min(...ys)),
    y1: Math.ceil(Math.max(...ys)),
    stride,
    tilesU: clamp(Math.round(longPx / (tilePx * stride)), 1, tilesU),
    tilesV: clamp(Math.round(acrossPx / (tilePx * stride)), 1, tilesV),
    expected: Math.max(1, areaPx / stride ** 2),
    centre: [mean(xs), mean(ys)],
  };
}

/** What was read of a cell beside the light of its pixels. */
interface CellSums {
  count: number;
  clipped: number;
  crushed: number;
  /** Sums of the codes of red and green. */
  red: number;
  green: number;
}

const tablesOf = ({ linear, channels }: Raster) =>
  [linear[0]!, linear[channels === 1 ? 0 : 1]!, linear[channels === 1 ? 0 : 2]!] as const;

/** Reads the pixels whose middle lies in the cell into the room, their light in sRGB primaries. */
function readPixels(
  { red, green, blue, tile }: PixelRoom,
  raster: Raster,
  { m, box, outline, most }: { m: Homography; box: CellBox; outline: CellOutline; most: number },
): CellSums {
  const { data, channels, width, height, matrix } = raster;
  const { stride, tilesU, tilesV } = outline;
  const [tableR, tableG, tableB] = tablesOf(raster);
  const [atG, atB] = channels === 1 ? [0, 0] : [1, 2];
  const top = tableR.length - 1;
  const { u0, v0 } = box;
  const scaleU = tilesU / (box.u1 - u0);
  const scaleV = tilesV / (box.v1 - v0);
  const sums: CellSums = { count: 0, clipped: 0, crushed: 0, red: 0, green: 0 };
  let count = 0;
  for (let y = Math.max(0, outline.y0); y < Math.min(height, outline.y1); y += stride) {
    const cy = y + 0.5;
    const rowU = m[1] * cy + m[2];
    const rowV = m[4] * cy + m[5];
    const rowW = m[7] * cy + m[8];
    for (let x = Math.max(0, outline.x0); x < Math.min(width, outline.x1); x += stride) {
      const cx = x + 0.5;
      const w = m[6] * cx + rowW;
      const tu = ((m[0] * cx + rowU) / w - u0) * scaleU;
      const tv = ((m[3] * cx + rowV) / w - v0) * scaleV;
      if (!(tu >= 0 && tu < tilesU && tv >= 0 && tv < tilesV) || count >= most) continue;
      const at = (y * width + x) * channels;
      const r = data[at]!;
      const g = data[at + atG]!;
      const b = data[at + atB]!;
      if (r === top || g === top || b === top) sums.clipped++;
      if (r === 0) sums.crushed++;
      sums.red += r;
      sums.green += g;
      const lr = tableR[r]!;
      const lg = tableG[g]!;
      const lb = tableB[b]!;
      if (matrix === null) {
        red[count] = lr;
        green[count] = lg;
        blue[count] = lb;
      } else {
        red[count] = matrix[0] * lr + matrix[1] * lg + matrix[2] * lb;
        green[count] = matrix[3] * lr + matrix[4] * lg + matrix[5] * lb;
        blue[count] = matrix[6] * lr + matrix[7] * lg + matrix[8] * lb;
      }
      tile[count] = Math.floor(tv) * tilesU + Math.floor(tu);
      count++;
    }
  }
  return { ...sums, count };
}

/** Size of one code of the file in linear light, at the mean of some codes. */
function codeStepAt(table: Float32Array, sum: number, { count, by }: { count: number; by: number }): number {
  const code = clamp(count === 0 ? 0 : Math.round(sum / count), 0, table.length - 1 - by);
  return table[code + by]! - table[code]!;
}

/**
 * The pixels of one cell.
 * @param raster upright picture
 * @param map between strip and picture
 * @param box the cell in strip coordinates
 * @param grid how finely it is read; as a step is when absent
 */
export function pixelsOfCell(
  raster: Raster,
  map: StripMap,
  box: CellBox,
  grid: CellGrid = { tilesU: 6, tilesV: 16 },
): CellPixels {
  const outline = outlineOfCell(map, box, grid);
  const most = Math.ceil(outline.expected * 1.3) + 64;
  const room = roomFor(most);
  const { red, green, blue, tile } = room;
  const sums = readPixels(room, raster, { m: map.toStrip, box, outline, most });
  const { count } = sums;
  // Light changes slowly, so one factor for each channel serves the whole cell.
  const light = raster.light?.(...outline.centre) ?? [1, 1, 1];
  if (raster.light !== undefined) {
    for (let i = 0; i < count; i++) {
      red[i]! /= light[0];
      green[i]! /= light[1];
      blue[i]! /= light[2];
    }
  }
  const [tableR, tableG] = tablesOf(raster);
  const codes = { count, by: raster.codesPerFileCode ?? 1 };
  return {
    count,
    red: red.subarray(0, count),
    green: green.subarray(0, count),
    blue: blue.subarray(0, count),
    tile: tile.subarray(0, count),
    tilesU: outline.tilesU,
    tilesV: outline.tilesV,
    insideShare: clamp(count / outline.expected, 0, 1),
    clippedShare: count === 0 ? 0 : sums.clipped / count,
    crushedShare: count === 0 ? 0 : sums.crushed / count,
    roundingCodes: raster.roundingCodes,
    codeStep: codeStepAt(tableR, sums.red, codes) / light[0],
    greenCodeStep: codeStepAt(tableG, sums.green, codes) / light[1],
  };
}
