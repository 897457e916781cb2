// Colour of a surface from its reflectance spectrum, as instruments that measure spectra compute it.
import type { Vector3 } from "./matrix.ts";

/**
 * Wavelength [nm], relative power of illuminant D50, and the colour matching functions of the 1931 observer.
 * Source: cie-15 (D50 from the components of daylight at 5003 K; the tables as in an open collection of colour data)
 */
// prettier-ignore
const table: readonly (readonly [number, number, number, number, number])[] = [
  [380, 24.49, 0.001368, 0.000039, 0.00645],
  [390, 29.87, 0.004243, 0.00012, 0.02005],
  [400, 49.31, 0.01431, 0.000396, 0.06785],
  [410, 56.51, 0.04351, 0.00121, 0.2074],
  [420, 60.03, 0.13438, 0.004, 0.6456],
  [430, 57.82, 0.2839, 0.0116, 1.3856],
  [440, 74.82, 0.34828, 0.023, 1.74706],
  [450, 87.25, 0.3362, 0.038, 1.77211],
  [460, 90.61, 0.2908, 0.06, 1.6692],
  [470, 91.37, 0.19536, 0.09098, 1.28764],
  [480, 95.11, 0.09564, 0.13902, 0.81295],
  [490, 91.96, 0.03201, 0.20802, 0.46518],
  [500, 95.72, 0.0049, 0.323, 0.272],
  [510, 96.61, 0.0093, 0.503, 0.1582],
  [520, 97.13, 0.06327, 0.71, 0.07825],
  [530, 102.10, 0.1655, 0.862, 0.04216],
  [540, 100.75, 0.2904, 0.954, 0.0203],
  [550, 102.32, 0.43345, 0.99495, 0.00875],
  [560, 100.00, 0.5945, 0.995, 0.0039],
  [570, 97.73, 0.7621, 0.952, 0.0021],
  [580, 98.92, 0.9163, 0.87, 0.00165],
  [590, 93.50, 1.0263, 0.757, 0.0011],
  [600, 97.69, 1.0622, 0.631, 0.0008],
  [610, 99.27, 1.0026, 0.503, 0.00034],
  [620, 99.04, 0.85445, 0.381, 0.00019],
  [630, 95.72, 0.6424, 0.265, 0.00005],
  [640, 98.86, 0.4479, 0.175, 0.00002],
  [650, 95.67, 0.2835, 0.107, 0],
  [660, 98.19, 0.1649, 0.061, 0],
  [670, 103.00, 0.0874, 0.032, 0],
  [680, 99.13, 0.04677, 0.017, 0],
  [690, 87.38, 0.0227, 0.00821, 0],
  [700, 91.60, 0.011359, 0.004102, 0],
  [710, 92.89, 0.00579, 0.002091, 0],
  [720, 76.85, 0.002899, 0.001047, 0],
  [730, 86.51, 0.00144, 0.00052, 0],
  [740, 92.58, 0.00069, 0.000249, 0],
  [750, 78.23, 0.000332, 0.00012, 0],
  [760, 57.69, 0.000166, 0.00006, 0],
  [770, 82.92, 0.000083, 0.00003, 0],
  [780, 78.27, 0.000042, 0.000015, 0],
];

export interface ReflectanceSpectrum {
  /** Rising, at least two [nm]. */
  readonly wavelengthsNm: readonly number[];
  /** Share of light returned at each (0-1). */
  readonly reflectances: readonly number[];
}

/** Reflectance at a wavelength: linear between neighbours, that of the nearest end beyond them. */
function reflectanceAt({ wavelengthsNm, reflectances }: ReflectanceSpectrum, nm: number): number {
  const above = wavelengthsNm.findIndex((each) => each >= nm);
  if (above === -1) return reflectances.at(-1)!;
  if (above === 0) return reflectances[0]!;
  const share = (nm - wavelengthsNm[above - 1]!) / (wavelengthsNm[above]! - wavelengthsNm[above - 1]!);
  return reflectances[above - 1]! + share * (reflectances[above]! - reflectances[above - 1]!);
}

/**
 * CIE XYZ of a surface under D50 for the 1931 observer, by sums over 10 nm.
 * @param spectrum share of light returned (0-1) at rising wavelengths; beyond its ends the last value holds
 * @returns XYZ, 1 being Y of the perfect white
 * Valid: smooth reflectances sampled at 20 nm or closer from about 400 to 700 nm.
 * Source: cie-15
 */
export function xyzFromReflectanceSpectrum(spectrum: ReflectanceSpectrum): Vector3 {
  let [x, y, z, white] = [0, 0, 0, 0];
  for (const [nm, power, xBar, yBar, zBar] of table) {
    const light = power * reflectanceAt(spectrum, nm);
    x += light * xBar;
    y += light * yBar;
    z += light * zBar;
    white += power * yBar;
  }
  return [x / white, y / white, z / white];
}
