// One tone from many pixels: specks, hairs and stickers are left out, and what is left says how sure the mean is.
import { middleAndSpread } from "#shared/statistics/robust.ts";
import { twoTonesOf, type TwoTones } from "./two-tones.ts";

/** Pixels of a cell in linear light, with the tile (row by row, tilesU in a row) that each lies in. */
export interface TiledPixels {
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
  readonly tile: Uint16Array;
  readonly tilesU: number;
  readonly tilesV: number;
  /** Size of one code of red, and of green, in linear light at the cell's level. */
  readonly codeStep: number;
  readonly greenCodeStep: number;
  /** By how many codes (standard deviation) the file format's rounding may shift a whole tile. */
  readonly roundingCodes: number;
}

export interface CellStatistics {
  /** Mean linear light of red, green, blue, without the outliers. */
  readonly mean: readonly [number, number, number];
  /** Standard uncertainty of each mean. */
  readonly sigma: readonly [number, number, number];
  /** Spread of tile means in red as a share of the mean, robust. */
  readonly tileSpreadShare: number;
  /** Share of tiles kept. */
  readonly keptShare: number;
  /** Share of single pixels far from the mean: specks, a hair. */
  readonly strayShare: number;
  /**
   * The two tones of the tiles, outliers included, in the channel that tells them apart best; null with too few tiles.
   */
  readonly twoTones: TwoTones | null;
  /**
   * Mean red light of up to four blocks across the cell, with the middle of each (0-1); blocks that were left out are
   * missing.
   */
  readonly blocks: readonly { readonly v: number; readonly red: number }[];
}

/** Blocks across a cell: large against grain, small against clouds of the coating. */
const blocksAcross = 4;

/** Pixels further than this many standard deviations from the median are specks. Normal noise loses 1 in 100 000. */
const speckLimit = 4.5;
/** Tiles further than this many standard deviations from the middle tile hold a hair, a sticker or an edge. */
const tileLimit = 3.5;
/** Fewest of a tile's pixels that must survive for the tile to count. */
const fewestKeptShare = 0.6;

/** Pixels scatter by at least about this many codes. */
const leastPixelCodes = 0.75;
/** Rounding to whole codes shifts the mean of a tile by about this many of them. */
const leastTileCodes = 0.3;
/**
 * Pixels that differ from the mean by this share are strays; the noise of dark red stays below it with this many codes
 * more.
 */
const strayShareOfMean = 0.3;
const strayRedCodes = 4;

/** So many pixels tell the middle and the spread as well as all do. */
const enoughForSpread = 1_000;

/** Evenly chosen among many values; all of them where they are few. */
function someOf(values: Float32Array): Float32Array {
  const every = Math.floor(values.length / enoughForSpread);
  if (every < 2) return values;
  const some = new Float32Array(Math.ceil(values.length / every));
  for (let i = 0, at = 0; at < values.length; i++, at += every) some[i] = values[at]!;
  return some;
}

function varianceOf(values: ArrayLike<number>): number {
  let [sum, squares] = [0, 0];
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  const mean = sum / values.length;
  for (let i = 0; i < values.length; i++) squares += (values[i]! - mean) ** 2;
  return squares / Math.max(1, values.length - 1);
}

/** The values that are known, without the gaps (NaN). */
function knownOf(values: Float64Array): Float64Array {
  const known = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) known[count++] = values[i]!;
  return known.subarray(0, count);
}

/**
 * Standard uncertainty of the mean of a grid of tiles whose noise may be streaky: the greatest of what single tiles,
 * whole rows and whole columns suggest.
 * @param values tile means, row by row; NaN where a tile was left out
 * Source: common practice, no source
 */
function sigmaOfTileMean(values: Float64Array, tilesU: number): number {
  const known = knownOf(values);
  if (known.length < 2) return 0;
  return Math.sqrt(
    Math.max(
      varianceOf(known) / known.length,
      varianceOfLineMean(values, tilesU, true),
      varianceOfLineMean(values, tilesU, false),
    ),
  );
}

/** Variance of the mean of whole rows, or columns, of tiles; 0 where fewer than four say too little. */
function varianceOfLineMean(values: Float64Array, tilesU: number, isByRow: boolean): number {
  const lines = isByRow ? Math.ceil(values.length / tilesU) : tilesU;
  const sums = new Float64Array(lines);
  const counts = new Uint16Array(lines);
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    const line = isByRow ? (i / tilesU) | 0 : i % tilesU;
    sums[line]! += value;
    counts[line]!++;
  }
  let known = 0;
  for (let line = 0; line < lines; line++) if (counts[line]! > 0) sums[known++] = sums[line]! / counts[line]!;
  return known >= 4 ? varianceOf(sums.subarray(0, known)) / known : 0;
}

/** What belongs to a cell: red and green within these limits of their middles. */
interface SpeckLimits {
  readonly redMiddle: number;
  readonly redLimit: number;
  readonly greenMiddle: number;
  readonly greenLimit: number;
}

interface TileSums {
  /** Pixels of each tile, and those that are no specks. */
  readonly all: Float64Array;
  readonly kept: Float64Array;
  /** Light of all pixels, red and green, and of the kept ones, red, green and blue. */
  readonly whole: readonly [Float64Array, Float64Array];
  readonly sums: readonly [Float64Array, Float64Array, Float64Array];
}

// What runs for each pixel stands in functions of its own, which are made quick early.

function tileSums(
  { red, green, blue, tile, tilesU, tilesV }: TiledPixels,
  { redMiddle, redLimit, greenMiddle, greenLimit }: SpeckLimits,
): TileSums {
  const tiles = tilesU * tilesV;
  const [all, kept] = [new Float64Array(tiles), new Float64Array(tiles)];
  const [wholeRed, wholeGreen] = [new Float64Array(tiles), new Float64Array(tiles)];
  const [sumRed, sumGreen, sumBlue] = [new Float64Array(tiles), new Float64Array(tiles), new Float64Array(tiles)];
  for (let i = 0; i < red.length; i++) {
    const t = tile[i]!;
    const r = red[i]!;
    const g = green[i]!;
    all[t]!++;
    wholeRed[t]! += r;
    wholeGreen[t]! += g;
    if (Math.abs(r - redMiddle) > redLimit || Math.abs(g - greenMiddle) > greenLimit) continue;
    kept[t]!++;
    sumRed[t]! += r;
    sumGreen[t]! += g;
    sumBlue[t]! += blue[i]!;
  }
  return { all, kept, whole: [wholeRed, wholeGreen], sums: [sumRed, sumGreen, sumBlue] };
}

const everyPixel: SpeckLimits = { redMiddle: 0, redLimit: Infinity, greenMiddle: 0, greenLimit: Infinity };

/** Which tiles keep enough of their pixels. */
const usableTiles = ({ all, kept }: TileSums): boolean[] =>
  Array.from(kept, (count, t) => count > 0 && count >= fewestKeptShare * all[t]!);

/** How many pixels lie further from the means than so much. */
function straysFrom(
  { red, green }: TiledPixels,
  { redMiddle, redLimit, greenMiddle, greenLimit }: SpeckLimits,
): number {
  let strays = 0;
  for (let i = 0; i < red.length; i++)
    if (Math.abs(red[i]! - redMiddle) > redLimit || Math.abs(green[i]! - greenMiddle) > greenLimit) strays++;
  return strays;
}

/** Which tiles count: those with enough pixels left, near the middle tile in red and green. */
function goodTiles(
  usable: readonly boolean[],
  means: readonly [Float64Array, Float64Array],
  tileSteps: readonly [number, number],
): boolean[] {
  const screens = means.map((values, c) => {
    const { middle, spread } = middleAndSpread(knownOf(values));
    return { values, middle, limit: tileLimit * Math.max(spread, tileSteps[c]!, 0.002 * Math.abs(middle)) };
  });
  return usable.map(
    (ok, t) => ok && screens.every(({ values, middle, limit }) => Math.abs(values[t]! - middle) <= limit),
  );
}

/** The clearer of the two channels' two tones. */
function clearerTones(
  { all, whole }: Pick<TileSums, "all" | "whole">,
  tileSteps: readonly [number, number],
): TwoTones | null {
  // A tile without pixels is none: 0 by 0 is not a number.
  const [red, green] = ([0, 1] as const).map((c) =>
    twoTonesOf(knownOf(whole[c].map((value, t) => value / all[t]!)), tileSteps[c]),
  ) as [TwoTones | null, TwoTones | null];
  return red === null || (green !== null && green.separation > red.separation) ? green : red;
}

/**
 * Robust mean of a cell and its standard uncertainty (grain, weave, unevenness and rounding).
 * @param pixels the cell's pixels in linear light
 * @returns null when fewer than four pixels lie in the cell
 */
export function cellStatistics(pixels: TiledPixels): CellStatistics | null {
  const { red, green, tilesU, tilesV, codeStep, greenCodeStep } = pixels;
  if (red.length < 4) return null;
  const tileCodes = Math.max(leastTileCodes, pixels.roundingCodes);
  const tileSteps = [tileCodes * codeStep, tileCodes * greenCodeStep] as const;
  const inRed = middleAndSpread(someOf(red));
  const inGreen = middleAndSpread(someOf(green));
  const screened = tileSums(pixels, {
    redMiddle: inRed.middle,
    redLimit: speckLimit * Math.max(inRed.spread, leastPixelCodes * codeStep),
    greenMiddle: inGreen.middle,
    greenLimit: speckLimit * Math.max(inGreen.spread, leastPixelCodes * greenCodeStep),
  });
  // In few flat tones most pixels are of one tone, and all others would be specks: then none is.
  const tiled = usableTiles(screened).some(Boolean) ? screened : tileSums(pixels, everyPixel);
  const { all, kept, sums } = tiled;
  const usable = usableTiles(tiled);
  const meansOf = (channel: 0 | 1 | 2) =>
    sums[channel].map((sum, t) => (usable[t] === true ? sum / kept[t]! : Number.NaN));
  const first = [meansOf(0), meansOf(1), meansOf(2)] as const;
  const good = goodTiles(usable, [first[0], first[1]], tileSteps);
  const goodCount = good.filter(Boolean).length;
  const used = goodCount >= Math.max(1, 0.3 * tilesU * tilesV) ? good : usable;
  const final = ([0, 1, 2] as const).map((channel) =>
    first[channel].map((value, t) => (used[t] === true ? value : Number.NaN)),
  );
  const tilesWithPixels = all.reduce((tiles, count) => (count > 0 ? tiles + 1 : tiles), 0);
  const mean = final.map((values) => average(knownOf(values)));
  const strays = straysFrom(pixels, {
    redMiddle: mean[0]!,
    redLimit: strayShareOfMean * mean[0]! + strayRedCodes * codeStep,
    greenMiddle: mean[1]!,
    greenLimit: strayShareOfMean * mean[1]!,
  });
  const rounding = (codeStep / Math.sqrt(12)) * Math.exp(-2 * (Math.PI * Math.min(inRed.spread / codeStep, 3)) ** 2);
  const sigma = final.map((values) =>
    Math.hypot(sigmaOfTileMean(values, tilesU), rounding, inRed.spread / Math.sqrt(red.length)),
  );
  const spread = middleAndSpread(knownOf(final[0]!)).spread;
  return {
    mean: [mean[0]!, mean[1]!, mean[2]!],
    sigma: [sigma[0]!, sigma[1]!, sigma[2]!],
    tileSpreadShare: mean[0]! > 0 ? spread / mean[0]! : 1,
    keptShare: tilesWithPixels === 0 ? 0 : goodCount / tilesWithPixels,
    strayShare: strays / red.length,
    twoTones: clearerTones(tiled, tileSteps),
    blocks: blocksOf(final[0]!, tilesU, tilesV),
  };
}

function blocksOf(reds: Float64Array, tilesU: number, tilesV: number): { v: number; red: number }[] {
  const count = Math.min(blocksAcross, tilesV);
  const groups = Array.from({ length: count }, () => ({ red: 0, v: 0, tiles: 0 }));
  reds.forEach((red, t) => {
    if (Number.isNaN(red)) return;
    const row = Math.floor(t / tilesU);
    const group = groups[Math.min(count - 1, Math.floor((row * count) / tilesV))]!;
    group.red += red;
    group.v += (row + 0.5) / tilesV;
    group.tiles++;
  });
  return groups
    .filter((group) => group.tiles > 0)
    .map((group) => ({ v: group.v / group.tiles, red: group.red / group.tiles }));
}

const average = (values: Float64Array) =>
  values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;
