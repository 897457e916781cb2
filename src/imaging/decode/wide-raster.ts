// Pictures whose profile is made of tables, carried into a wide linear space at 16 bits, where iron blue is not cut
// off.
import { inverseMatrix, type Matrix3 } from "#shared/density/matrix.ts";
import { linearSrgbFromColorants, xyzD50FromRgb, type Chromaticities } from "#shared/density/rgb-spaces.ts";
import type { TableColour } from "#src/imaging/profile/icc-tables.ts";

/** Primaries that hold every colour of a print, white D50. Source: iso-22028-2 (ROMM RGB), from memory. */
const wideChromaticities: Chromaticities = {
  red: [0.7347, 0.2653],
  green: [0.1596, 0.8404],
  blue: [0.0366, 0.0001],
  white: [0.3457, 0.3585],
};
const xyzFromWide = xyzD50FromRgb(wideChromaticities);
const wideFromXyz = inverseMatrix(xyzFromWide);
/** Wide linear light to linear sRGB. */
export const srgbFromWide: Matrix3 = linearSrgbFromColorants(xyzFromWide);

const top = 65_535;
/** Codes are square roots of light, so that darks are as finely divided as lights. */
const lightOfCode = Float32Array.from({ length: top + 1 }, (_, code) => (code / top) ** 2);
/** Linear light of each code, for each channel. */
export const wideLinear: readonly Float32Array[] = [lightOfCode, lightOfCode, lightOfCode];

const encoded = (light: number) => Math.min(Math.max(Math.round(Math.sqrt(Math.max(light, 0)) * top), 1), top - 1);

/** Colours met before, found by their device numbers: scans of prints hold few different ones beside each other. */
const cacheBits = 14;

/**
 * The picture in the wide space. A channel at either end of its scale stays there, so that cut-off tones are still
 * noticed.
 * @param data device red, green, blue of every pixel
 * @param colour what the profile says of them
 */
export function wideRaster(data: Uint8Array | Uint16Array, colour: TableColour): Uint16Array {
  const full = data instanceof Uint16Array ? top : 255;
  const wide = new Uint16Array(data.length);
  const m = wideFromXyz;
  const p = new Float64Array(3);
  const keys = new Float64Array(1 << cacheBits).fill(-1);
  const known = new Uint16Array(3 << cacheBits);
  for (let i = 0; i < data.length; i += 3) {
    const r = data[i]!;
    const g = data[i + 1]!;
    const b = data[i + 2]!;
    const key = (r * 65_536 + g) * 65_536 + b;
    const slot = (Math.imul(r, 73_856_093) ^ Math.imul(g, 19_349_663) ^ Math.imul(b, 83_492_791)) >>> (32 - cacheBits);
    if (keys[slot] !== key) {
      keys[slot] = key;
      p[0] = r / full;
      p[1] = g / full;
      p[2] = b / full;
      colour(p);
      for (let c = 0; c < 3; c++) {
        const code = data[i + c]!;
        const light = m[3 * c]! * p[0] + m[3 * c + 1]! * p[1] + m[3 * c + 2]! * p[2];
        if (code === full) known[3 * slot + c] = top;
        else known[3 * slot + c] = code === 0 ? 0 : encoded(light);
      }
    }
    wide[i] = known[3 * slot]!;
    wide[i + 1] = known[3 * slot + 1]!;
    wide[i + 2] = known[3 * slot + 2]!;
  }
  return wide;
}
