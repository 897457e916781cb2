// A small copy of the picture on which the strip is looked for: how blue and how dark every place is.
import type { Raster } from "../decode.ts";

/** A field of values over the small picture, row by row. */
export interface Field {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

export interface SmallPicture {
  readonly width: number;
  readonly height: number;
  /** Full pixels for one small pixel. */
  readonly factor: number;
  /** -log10 of red light: how dark the place is. */
  readonly darkness: Field;
  /** log10 of blue over red light: how blue the place is, whatever the light falling on it; null for grey pictures. */
  readonly blueness: Field | null;
}

/** Longest side of the small picture: a step of a long tablet still covers ten pixels. */
const longSide = 1400;
/** Light below this share is lost in noise; it keeps logarithms quiet. */
const darkFloor = 0.004;
/** Pixels read for one small pixel, along each side; more would only cost time. */
const mostReads = 3;

/** The small copy of a picture. */
export function smallPicture(raster: Raster, longest = longSide): SmallPicture {
  const factor = Math.max(1, Math.max(raster.width, raster.height) / longest);
  const width = Math.max(1, Math.floor(raster.width / factor));
  const height = Math.max(1, Math.floor(raster.height / factor));
  const { data, channels, matrix } = raster;
  const [tableR, tableG, tableB] = [raster.linear[0]!, raster.linear[channels === 1 ? 0 : 1]!, raster.linear[channels === 1 ? 0 : 2]!];
  const darkness = new Float32Array(width * height);
  const blueness = channels === 1 ? null : new Float32Array(width * height);
  const reads = Math.min(mostReads, Math.max(1, Math.round(factor)));
  const offsets = Array.from({ length: reads }, (_, i) => ((i + 0.5) * factor) / reads);
  for (let y = 0; y < height; y++) {
    const rows = offsets.map((offset) => Math.min(raster.height - 1, Math.floor(y * factor + offset)) * raster.width);
    for (let x = 0; x < width; x++) {
      let r = 0;
      let g = 0;
      let b = 0;
      for (const offset of offsets) {
        const column = Math.min(raster.width - 1, Math.floor(x * factor + offset));
        for (const row of rows) {
          const at = (row + column) * channels;
          r += tableR[data[at]!]!;
          if (channels === 1) continue;
          g += tableG[data[at + 1]!]!;
          b += tableB[data[at + 2]!]!;
        }
      }
      const count = reads * reads;
      const at = y * width + x;
      if (blueness === null) {
        darkness[at] = -Math.log10(Math.max(r / count, darkFloor));
        continue;
      }
      const red = matrix === null ? r : matrix[0] * r + matrix[1] * g + matrix[2] * b;
      const blue = matrix === null ? b : matrix[6] * r + matrix[7] * g + matrix[8] * b;
      darkness[at] = -Math.log10(Math.max(red / count, darkFloor));
      // Both get the floor added, so that black is not blue.
      blueness[at] = Math.log10((Math.max(blue, 0) / count + darkFloor) / (Math.max(red, 0) / count + darkFloor));
    }
  }
  return { width, height, factor, darkness: { width, height, values: darkness }, blueness: blueness === null ? null : { width, height, values: blueness } };
}

/** The field smoothed by a 3 x 3 binomial kernel, `times` over. */
export function smoothed(field: Field, times: number): Field {
  const { width, height } = field;
  let from = field.values;
  for (let pass = 0; pass < times; pass++) {
    const rows = new Float32Array(from.length);
    for (let y = 0; y < height; y++) {
      const row = y * width;
      for (let x = 0; x < width; x++) rows[row + x] = (from[row + Math.max(0, x - 1)]! + 2 * from[row + x]! + from[row + Math.min(width - 1, x + 1)]!) / 4;
    }
    const out = new Float32Array(from.length);
    for (let y = 0; y < height; y++) {
      const above = Math.max(0, y - 1) * width;
      const here = y * width;
      const below = Math.min(height - 1, y + 1) * width;
      for (let x = 0; x < width; x++) out[here + x] = (rows[above + x]! + 2 * rows[here + x]! + rows[below + x]!) / 4;
    }
    from = out;
  }
  return { width, height, values: from };
}

/** Value of a field between pixels; the nearest edge value outside. Coordinates are continuous, pixel centres at half numbers. */
export function valueAt(field: Field, x: number, y: number): number {
  const fx = Math.min(Math.max(x - 0.5, 0), field.width - 1.001);
  const fy = Math.min(Math.max(y - 0.5, 0), field.height - 1.001);
  const x0 = fx | 0;
  const y0 = fy | 0;
  const ax = fx - x0;
  const ay = fy - y0;
  const at = y0 * field.width + x0;
  const v = field.values;
  return (v[at]! * (1 - ax) + v[at + 1]! * ax) * (1 - ay) + (v[at + field.width]! * (1 - ax) + v[at + field.width + 1]! * ax) * ay;
}
