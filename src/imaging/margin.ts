// Looks at what lies round the strip, in patches at several distances.
import { cellStatistics } from "#shared/reading/light/cell-statistics.ts";
import type { MarginCell } from "#shared/reading/light/paper-cells.ts";
import type { Raster } from "./decode/decode.ts";
import { pixelsOfCell, type CellBox, type StripMap } from "./sample.ts";

/** Nearest and farthest distance of a band from the strip's edge, as shares of its height. */
export type Band = readonly [number, number];

/** Distances of the bands from the strip's long edges, as shares of its height; the first leaves room for halos. */
export const nearBands: readonly Band[] = [
  [0.1, 0.28],
  [0.34, 0.54],
  [0.62, 0.85],
];
/** Further bands, for strips surrounded by exposed coating. */
export const farBands: readonly Band[] = [
  [1, 1.25],
  [1.4, 1.7],
  [1.9, 2.2],
  [2.4, 2.8],
];
/** Most columns of patches along the strip. */
const mostColumns = 24;
/** Patches beyond each end, across the strip. */
const endPatches = 3;

/** Places of the patches beside a strip. @param aspect height of the strip as a share of its length */
function marginBoxes(steps: number, aspect: number, bands: readonly Band[]): { box: CellBox; band: string }[] {
  const columns = Math.min(mostColumns, Math.max(6, steps));
  const boxes: { box: CellBox; band: string }[] = [];
  for (const [near, far] of bands) {
    for (let i = 0; i < columns; i++) {
      const along = { u0: (i + 0.1) / columns, u1: (i + 0.9) / columns };
      boxes.push(
        { box: { ...along, v0: -far, v1: -near }, band: `top ${near}` },
        { box: { ...along, v0: 1 + near, v1: 1 + far }, band: `bottom ${near}` },
      );
    }
  }
  for (const [near, far] of bands) {
    for (let i = 0; i < endPatches; i++) {
      const across = { v0: (i + 0.1) / endPatches, v1: (i + 0.9) / endPatches };
      boxes.push(
        { box: { ...across, u0: -far * aspect, u1: -near * aspect }, band: `start ${near}` },
        { box: { ...across, u0: 1 + near * aspect, u1: 1 + far * aspect }, band: `end ${near}` },
      );
    }
  }
  return boxes;
}

/** There are many patches of paper, and each needs few pixels. */
const mostPixelsPerPatch = 400;

/** Measures the patches beside a strip; those outside the picture are left out. */
export function marginCells(
  raster: Raster,
  map: StripMap,
  steps: number,
  aspect: number,
  bands: readonly Band[],
): MarginCell[] {
  const cells: MarginCell[] = [];
  for (const { box, band } of marginBoxes(steps, aspect, bands)) {
    const pixels = pixelsOfCell(raster, map, box, { tilesU: 4, tilesV: 4, mostPixels: mostPixelsPerPatch });
    const statistics = cellStatistics(pixels);
    if (statistics === null || !(statistics.mean[0] > 0)) continue;
    cells.push({
      u: (box.u0 + box.u1) / 2,
      v: (box.v0 + box.v1) / 2,
      band,
      mean: statistics.mean,
      sigma: statistics.sigma[0] / statistics.mean[0],
      spreadShare: statistics.tileSpreadShare,
      insideShare: pixels.insideShare,
      clippedShare: pixels.clippedShare,
    });
  }
  return cells;
}
