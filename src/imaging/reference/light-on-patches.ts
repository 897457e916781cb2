// How the light on the reference patches differs from that on the strip, by the paper that lies round both.
import { mapPoint } from "#shared/reading/corners/homography.ts";
import { cellStatistics } from "#shared/reading/light/cell-statistics.ts";
import { fitLightField, type PaperCell } from "#shared/reading/light/light-field.ts";
import { cellsOfOneSurface } from "#shared/reading/light/one-surface.ts";
import { choosePaper, type MarginCell, type StepLight } from "#shared/reading/light/paper-cells.ts";
import { medianInPlace } from "#shared/statistics/value-at-rank.ts";
import type { PointPx } from "#shared/schema/reading.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";
import { pixelsOfCell, type StripMap } from "#src/imaging/sample.ts";

/**
 * Patches often lie on a card of their own, which is not the print's paper: so many spacings round each are left out,
 */
const cardReach = 1.05;
/** but no more than so many heights of the strip, since single patches may lie far apart. */
const mostCardReach = 1.2;

const apart = (a: PointPx, b: PointPx) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Height and length of the strip through its middle [px]. */
const stripSize = ({ toPicture }: StripMap) => ({
  height: apart(mapPoint(toPicture, 0.5, 0), mapPoint(toPicture, 0.5, 1)),
  length: apart(mapPoint(toPicture, 0, 0.5), mapPoint(toPicture, 1, 0.5)),
});

/**
 * Whether a place of the strip's plane may lie on the card of the patches.
 * @param patches places of the patches in the picture, two or more
 */
export function isOnCard(map: StripMap, patches: readonly PointPx[]): (u: number, v: number) => boolean {
  const nearest = patches.map((a) => Math.min(...patches.filter((b) => b !== a).map((b) => apart(a, b))));
  const spacing = medianInPlace(Float64Array.from(nearest));
  const reach = Math.min(cardReach * spacing, mostCardReach * stripSize(map).height);
  return (u, v) => patches.some((patch) => apart(patch, mapPoint(map.toPicture, u, v)) < reach);
}

/** Paper over the whole area of strip and patches, on a coarse grid. */
function widePaper(
  raster: Raster,
  map: StripMap,
  patches: readonly PointPx[],
  steps: readonly StepLight[],
): { cells: readonly PaperCell[]; toUnit: (u: number, v: number) => readonly [number, number] } {
  const places = patches.map((at) => mapPoint(map.toStrip, at[0], at[1]));
  const onCard = isOnCard(map, patches);
  const [us, vs] = [places.map((p) => p[0]), places.map((p) => p[1])];
  const [u0, u1, v0, v1] = [
    Math.min(-0.1, ...us.map((u) => u - 0.05)),
    Math.max(1.1, ...us.map((u) => u + 0.05)),
    Math.min(-0.6, ...vs.map((v) => v - 0.5)),
    Math.max(1.6, ...vs.map((v) => v + 0.5)),
  ];
  const columns = 16;
  const rows = Math.min(16, Math.ceil((v1 - v0) / 0.4));
  const margin: MarginCell[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [u, v] = [u0 + ((u1 - u0) * (column + 0.5)) / columns, v0 + ((v1 - v0) * (row + 0.5)) / rows];
      if (v > -0.15 && v < 1.15 && u > -0.05 && u < 1.05) continue;
      if (onCard(u, v)) continue;
      const half = { u: (0.3 * (u1 - u0)) / columns, v: (0.3 * (v1 - v0)) / rows };
      const pixels = pixelsOfCell(
        raster,
        map,
        { u0: u - half.u, u1: u + half.u, v0: v - half.v, v1: v + half.v },
        { tilesU: 4, tilesV: 4 },
      );
      const statistics = cellStatistics(pixels);
      if (statistics === null || !(statistics.mean[0] > 0)) continue;
      margin.push({
        u,
        v,
        band: `${row} ${column}`,
        mean: statistics.mean,
        sigma: statistics.sigma[0] / statistics.mean[0],
        spreadShare: statistics.tileSpreadShare,
        insideShare: pixels.insideShare,
        clippedShare: pixels.clippedShare,
      });
    }
  }
  const toUnit = (u: number, v: number) => [(u - u0) / (u1 - u0), (v - v0) / (v1 - v0)] as const;
  const { height, length } = stripSize(map);
  const cells = cellsOfOneSurface(choosePaper(margin, steps, raster.channels === 3).paper, height / length).map(
    (cell) => {
      const [u, v] = toUnit(cell.u, cell.v);
      return { ...cell, u, v };
    },
  );
  return { cells, toUnit };
}

/** Fewest patches of paper that say how the light on the patches differs from that on the strip. */
const fewestPaperCells = 8;
/**
 * Without them: how far the light may differ over the row of patches (natural logarithm).
 * Source: common practice, no source.
 */
const unknownLight = 0.1;

interface LightOnPatches {
  readonly patches: readonly { readonly light: readonly number[]; readonly errors: readonly number[] }[];
  readonly isKnown: boolean;
}

/** Light that falls on each patch beside that on the strip's middle, and its errors, by the paper round both. */
export function lightOnPatches(
  raster: Raster,
  map: StripMap,
  patches: readonly PointPx[],
  places: readonly (readonly [number, number])[],
  steps: readonly StepLight[],
): LightOnPatches {
  const wide = widePaper(raster, map, patches, steps);
  if (wide.cells.length < fewestPaperCells) {
    return {
      isKnown: false,
      patches: patches.map((_, i) => ({
        light: [1, 1, 1],
        errors: [unknownLight * ((2 * i) / (patches.length - 1) - 1)],
      })),
    };
  }
  const field = fitLightField(wide.cells, { aspect: 1 });
  const strip = wide.toUnit(0.5, 0.5);
  const [logAtStrip, errorsAtStrip] = [field.logAt(...strip), field.errorsAt(...strip)];
  return {
    isKnown: true,
    patches: places.map((place) => {
      const at = wide.toUnit(place[0], place[1]);
      return {
        light: field.logAt(...at).map((log, c) => Math.exp(log - logAtStrip[c]!)),
        errors: field.errorsAt(...at).map((error, k) => error - errorsAtStrip[k]!),
      };
    }),
  };
}
