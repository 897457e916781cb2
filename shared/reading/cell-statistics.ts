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
  /** The two tones of the tiles, outliers included, in the channel that tells them apart best; null with too few tiles. */
  readonly twoTones: TwoTones | null;
  /** Mean red light of up to four blocks across the cell, with the middle of each (0-1); blocks that were left out are missing. */
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
/** Pixels that differ from the mean by this share are strays; the noise of dark red stays below it with this many codes more. */
const strayShareOfMean = 0.3;
const strayRedCodes = 4;

const varianceOf = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
};

/**
 * Standard uncertainty of the mean of a grid of tiles whose noise may be streaky: the greatest of what single tiles,
 * whole rows and whole columns suggest.
 * @param values tile means, row by row; null where a tile was left out
 * Source: common practice, no source
 */
function sigmaOfTileMean(values: readonly (number | null)[], tilesU: number): number {
  const kept = values.filter((value) => value !== null);
  if (kept.length < 2) return 0;
  const lines = (index: (i: number) => number) => {
    const sums = new Map<number, { sum: number; count: number }>();
    values.forEach((value, i) => {
      if (value === null) return;
      const line = sums.get(index(i)) ?? { sum: 0, count: 0 };
      line.sum += value;
      line.count++;
      sums.set(index(i), line);
    });
    const means = [...sums.values()].map((line) => line.sum / line.count);
    return means.length >= 4 ? varianceOf(means) / means.length : 0;
  };
  return Math.sqrt(
    Math.max(
      varianceOf(kept) / kept.length,
      lines((i) => Math.floor(i / tilesU)),
      lines((i) => i % tilesU),
    ),
  );
}

/**
 * Robust mean of a cell and its standard uncertainty (grain, weave, unevenness and rounding).
 * @param pixels the cell's pixels in linear light
 * @returns null when fewer than four pixels lie in the cell
 */
export function cellStatistics(pixels: TiledPixels): CellStatistics | null {
  const { red, green, blue, tile, tilesU, tilesV, codeStep, greenCodeStep } = pixels;
  const tileCodes = Math.max(leastTileCodes, pixels.roundingCodes);
  const tileSteps = [tileCodes * codeStep, tileCodes * greenCodeStep] as const;
  if (red.length < 4) return null;
  const inRed = middleAndSpread(red);
  const inGreen = middleAndSpread(green);
  const redLimit = speckLimit * Math.max(inRed.spread, leastPixelCodes * codeStep);
  const greenLimit = speckLimit * Math.max(inGreen.spread, leastPixelCodes * greenCodeStep);
  const tiles = tilesU * tilesV;
  const sums = [new Float64Array(tiles), new Float64Array(tiles), new Float64Array(tiles)] as const;
  const whole = [new Float64Array(tiles), new Float64Array(tiles)] as const;
  const kept = new Float64Array(tiles);
  const all = new Float64Array(tiles);
  for (let i = 0; i < red.length; i++) {
    const t = tile[i]!;
    all[t]!++;
    whole[0][t]! += red[i]!;
    whole[1][t]! += green[i]!;
    if (Math.abs(red[i]! - inRed.middle) > redLimit || Math.abs(green[i]! - inGreen.middle) > greenLimit) continue;
    kept[t]!++;
    sums[0][t]! += red[i]!;
    sums[1][t]! += green[i]!;
    sums[2][t]! += blue[i]!;
  }
  const usable = Array.from({ length: tiles }, (_, t) => kept[t]! > 0 && kept[t]! >= fewestKeptShare * all[t]!);
  const meansOf = (channel: 0 | 1 | 2) => usable.map((ok, t) => (ok ? sums[channel][t]! / kept[t]! : null));
  const first = [meansOf(0), meansOf(1), meansOf(2)] as const;
  const screens = [first[0], first[1]].map((means, c) => {
    const { middle, spread } = middleAndSpread(Float64Array.from(means.filter((value) => value !== null)));
    return { middle, limit: tileLimit * Math.max(spread, tileSteps[c as 0 | 1], 0.002 * Math.abs(middle)) };
  });
  const good = usable.map(
    (ok, t) => ok && screens.every(({ middle, limit }, c) => Math.abs(first[c as 0 | 1][t]! - middle) <= limit),
  );
  const goodCount = good.filter(Boolean).length;
  const used = goodCount >= Math.max(1, 0.3 * tiles) ? good : usable;
  const final = ([0, 1, 2] as const).map((channel) => first[channel].map((value, t) => (used[t] ? value : null)));
  const tilesWithPixels = Array.from(all).filter((count) => count > 0).length;
  const mean = final.map((values) => average(values.filter((value) => value !== null)));
  const strayFrom = [strayShareOfMean * mean[0]! + strayRedCodes * codeStep, strayShareOfMean * mean[1]!] as const;
  let strays = 0;
  for (let i = 0; i < red.length; i++)
    if (Math.abs(red[i]! - mean[0]!) > strayFrom[0] || Math.abs(green[i]! - mean[1]!) > strayFrom[1]) strays++;
  const tones = whole.map((light, c) =>
    twoTonesOf(Array.from(light, (value, t) => value / all[t]!).filter(Number.isFinite), tileSteps[c as 0 | 1]),
  );
  const rounding = (codeStep / Math.sqrt(12)) * Math.exp(-2 * (Math.PI * Math.min(inRed.spread / codeStep, 3)) ** 2);
  const sigma = final.map((values) =>
    Math.hypot(sigmaOfTileMean(values, tilesU), rounding, inRed.spread / Math.sqrt(red.length)),
  );
  const spread = middleAndSpread(Float64Array.from(final[0]!.filter((value) => value !== null))).spread;
  return {
    mean: [mean[0]!, mean[1]!, mean[2]!],
    sigma: [sigma[0]!, sigma[1]!, sigma[2]!],
    tileSpreadShare: mean[0]! > 0 ? spread / mean[0]! : 1,
    keptShare: tilesWithPixels === 0 ? 0 : goodCount / tilesWithPixels,
    strayShare: strays / red.length,
    twoTones:
      tones[0] === null || (tones[1] !== null && tones[1]!.separation > tones[0]!.separation) ? tones[1]! : tones[0]!,
    blocks: blocksOf(final[0]!, tilesU, tilesV),
  };
}

function blocksOf(reds: readonly (number | null)[], tilesU: number, tilesV: number): { v: number; red: number }[] {
  const count = Math.min(blocksAcross, tilesV);
  const groups = Array.from({ length: count }, () => ({ red: 0, v: 0, tiles: 0 }));
  reds.forEach((red, t) => {
    if (red === null) return;
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

const average = (values: readonly number[]) =>
  values.length === 0 ? Number.NaN : values.reduce((sum, value) => sum + value, 0) / values.length;
