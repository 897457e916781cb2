// A second picture, of a plain sheet in the same place under the same light, says how light falls and how the lens
// darkens.
import { TroubleError } from "#shared/errors.ts";
import { readingTrouble, type PictureTrouble } from "#shared/reading/reading-troubles.ts";
import { medianInPlace } from "#shared/statistics/value-at-rank.ts";
import { decodePicture, type Raster } from "./decode/decode.ts";

/** Light at a place of the picture as a share of the brightest place: red, green, blue. */
export type EvenLight = (x: number, y: number) => readonly [number, number, number];

/** Cells along the longer side: light changes slowly, so specks and texture average out. */
const cellsAlong = 32;
/** Pixels looked at along each side of a cell. */
const readsPerSide = 24;
/** Shapes of the two pictures may differ by this share: a picture of another size of the same frame will do. */
const sameShape = 0.01;
/** Light below this share of the brightest place is no even sheet. */
const leastShare = 0.05;

/** Light of a plain sheet in cells over its frame, row by row: red, green, blue as shares of the brightest cell. */
export interface LightGrid {
  readonly columns: number;
  readonly rows: number;
  readonly cells: readonly (readonly number[])[];
}

/**
 * The light of a plain sheet, as few numbers that hold for every reading of the picture beside it.
 * @param bytes the plain sheet's picture
 * @param picture the picture that is to be evened out
 * @throws TroubleError when it cannot be read, was not taken from the same place, or does not show a plain sheet
 */
export async function lightGridOf(bytes: Uint8Array, picture: Raster): Promise<LightGrid> {
  let raster: Raster;
  try {
    ({ raster } = await decodePicture(bytes, { halveLarge: true }));
  } catch (error) {
    // Decoding a picture throws no other troubles.
    if (error instanceof TroubleError)
      throw readingTrouble(
        error.code,
        { code: "even-light-unreadable", trouble: error.trouble as PictureTrouble },
        { field: "evenLight", cause: error },
      );
    throw error;
  }
  if (Math.abs(Math.log((raster.width / raster.height) * (picture.height / picture.width))) > sameShape) {
    throw readingTrouble("bad-request", { code: "even-light-other-shape" }, { field: "evenLight" });
  }
  const columns = Math.max(2, Math.round((cellsAlong * raster.width) / Math.max(raster.width, raster.height)));
  const rows = Math.max(2, Math.round((cellsAlong * raster.height) / Math.max(raster.width, raster.height)));
  const grid = cellLights(raster, columns, rows);
  const brightest = [0, 1, 2].map((c) => grid.reduce((most, cell) => Math.max(most, cell[c]!), 0));
  if (grid.some((cell) => cell[1]! < leastShare * brightest[1]!)) {
    throw readingTrouble("bad-request", { code: "even-light-no-sheet" }, { field: "evenLight" });
  }
  return { columns, rows, cells: grid.map((cell) => cell.map((light, c) => light / brightest[c]!)) };
}

/** The light at a place of a picture, between the cells of the sheet that was photographed in its place. */
export function evenLightOver(
  { columns, rows, cells }: LightGrid,
  picture: { readonly width: number; readonly height: number },
): EvenLight {
  return (x, y) => {
    const fx = Math.min(Math.max((x / picture.width) * columns - 0.5, 0), columns - 1.001);
    const fy = Math.min(Math.max((y / picture.height) * rows - 0.5, 0), rows - 1.001);
    const [x0, y0] = [Math.floor(fx), Math.floor(fy)];
    const [ax, ay] = [fx - x0, fy - y0];
    const at = (c: number) => {
      const [a, b, d, e] = [
        cells[y0 * columns + x0]!,
        cells[y0 * columns + x0 + 1]!,
        cells[(y0 + 1) * columns + x0]!,
        cells[(y0 + 1) * columns + x0 + 1]!,
      ];
      return (a[c]! * (1 - ax) + b[c]! * ax) * (1 - ay) + (d[c]! * (1 - ax) + e[c]! * ax) * ay;
    };
    return [at(0), at(1), at(2)];
  };
}

/** Middle linear light of every cell of a grid, row by row. */
function cellLights(raster: Raster, columns: number, rows: number): number[][] {
  const { data, channels, width, height, matrix } = raster;
  const table = (c: number) => raster.linear[channels === 1 ? 0 : c]!;
  return Array.from({ length: columns * rows }, (_, i) => {
    const [column, row] = [i % columns, Math.floor(i / columns)];
    const values = [0, 1, 2].map(() => new Float32Array(readsPerSide ** 2));
    for (let k = 0; k < readsPerSide ** 2; k++) {
      const x = Math.min(
        width - 1,
        Math.floor(((column + ((k % readsPerSide) + 0.5) / readsPerSide) * width) / columns),
      );
      const y = Math.min(
        height - 1,
        Math.floor(((row + (Math.floor(k / readsPerSide) + 0.5) / readsPerSide) * height) / rows),
      );
      for (let c = 0; c < 3; c++)
        values[c]![k] = table(c)[data[(y * width + x) * channels + (channels === 1 ? 0 : c)]!]!;
    }
    const middle = values.map((each) => medianInPlace(each));
    return matrix === null
      ? middle
      : [0, 1, 2].map(
          (r) => matrix[r * 3]! * middle[0]! + matrix[r * 3 + 1]! * middle[1]! + matrix[r * 3 + 2]! * middle[2]!,
        );
  });
}
