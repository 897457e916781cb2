// RGB spaces as matrices from linear light to CIE XYZ under D50, the connection space of ICC profiles.
import { inverseMatrix, productOfMatrices, transformed, type Matrix3, type Vector3 } from "./matrix.ts";

/** CIE xy chromaticities of the three primaries and of white. */
export interface Chromaticities {
  readonly red: readonly [number, number];
  readonly green: readonly [number, number];
  readonly blue: readonly [number, number];
  readonly white: readonly [number, number];
}

/** Source: iec-61966-2-1 (primaries of ITU-R BT.709, white D65). */
export const srgbChromaticities: Chromaticities = {
  red: [0.64, 0.33],
  green: [0.3, 0.6],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

/** White of the ICC connection space, D50. Source: icc-profile-format. */
export const d50: Vector3 = [0.9642, 1, 0.8249];

/** Cone response of the Bradford adaptation. Source: icc-profile-format, annex E (linear form). */
const bradford: Matrix3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296];

const xyzFromXy = ([x, y]: readonly [number, number]): Vector3 => [x / y, 1, (1 - x - y) / y];

/**
 * Matrix that carries colours seen under one white to those seen alike under another (linear Bradford adaptation).
 * @param from XYZ of the first white, Y = 1
 * @param to XYZ of the second white, Y = 1
 * Source: icc-profile-format, annex E
 */
function adaptationMatrix(from: Vector3, to: Vector3): Matrix3 {
  const a = transformed(bradford, from);
  const b = transformed(bradford, to);
  const scale: Matrix3 = [b[0] / a[0], 0, 0, 0, b[1] / a[1], 0, 0, 0, b[2] / a[2]];
  return productOfMatrices(inverseMatrix(bradford), productOfMatrices(scale, bradford));
}

/**
 * Matrix from linear RGB of a space to XYZ under D50.
 * @param space chromaticities of its primaries and white
 * @returns XYZ, Y of white = 1
 * Source: icc-profile-format
 */
export function xyzD50FromRgb(space: Chromaticities): Matrix3 {
  const [r, g, b] = [xyzFromXy(space.red), xyzFromXy(space.green), xyzFromXy(space.blue)];
  const white = xyzFromXy(space.white);
  const columns: Matrix3 = [r[0], g[0], b[0], r[1], g[1], b[1], r[2], g[2], b[2]];
  const s = transformed(inverseMatrix(columns), white);
  const scaled: Matrix3 = [
    r[0] * s[0],
    g[0] * s[1],
    b[0] * s[2],
    r[1] * s[0],
    g[1] * s[1],
    b[1] * s[2],
    r[2] * s[0],
    g[2] * s[1],
    b[2] * s[2],
  ];
  return productOfMatrices(adaptationMatrix(white, d50), scaled);
}

/**
 * Matrix from linear RGB of a space, given by its D50 colorants, to linear RGB of sRGB primaries.
 * @param colorants XYZ under D50 of the red, green and blue primaries as columns
 * @returns linear sRGB; colours outside its gamut come out below 0 or above 1
 * Source: icc-profile-format
 */
export function linearSrgbFromColorants(colorants: Matrix3): Matrix3 {
  return productOfMatrices(inverseMatrix(xyzD50FromRgb(srgbChromaticities)), colorants);
}
