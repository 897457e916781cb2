// A small grey picture of the red light, in which blue prints show most; for finding codes and marks.
import type { Raster } from "#src/imaging/decode/decode.ts";

export interface RedPlane {
  readonly width: number;
  readonly height: number;
  /** Square root of linear red, 0-255, row by row. */
  readonly value: Uint8Array;
  /** Picture pixels along one side of a plane pixel. */
  readonly factor: number;
}

/** The red light of a picture, averaged over whole blocks so that no side is longer than asked. */
export function redPlane(raster: Raster, longestSidePx: number): RedPlane {
  const factor = Math.max(1, Math.ceil(Math.max(raster.width, raster.height) / longestSidePx));
  const width = Math.floor(raster.width / factor);
  const height = Math.floor(raster.height / factor);
  const { data, channels, linear, matrix } = raster;
  const tables = [linear[0]!, linear[channels === 1 ? 0 : 1]!, linear[channels === 1 ? 0 : 2]!];
  const weights = matrix === null ? [1, 0, 0] : [matrix[0], matrix[1], matrix[2]];
  const used = channels === 1 ? [0] : [0, 1, 2].filter((k) => weights[k] !== 0);
  const value = new Uint8Array(width * height);
  const row = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    row.fill(0);
    for (let dy = 0; dy < factor; dy++) {
      for (const k of used) {
        const table = tables[k]!;
        const weight = channels === 1 ? 1 : weights[k]!;
        let o = (y * factor + dy) * raster.width * channels + k;
        for (let x = 0; x < width; x++) {
          let sum = 0;
          for (let dx = 0; dx < factor; dx++, o += channels) sum += table[data[o]!]!;
          row[x]! += weight * sum;
        }
      }
    }
    for (let x = 0; x < width; x++)
      value[y * width + x] = Math.min(255, 255 * Math.sqrt(Math.max(0, row[x]!) / (factor * factor)));
  }
  return { width, height, value, factor };
}
