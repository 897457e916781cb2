// A space in which one hue stays one hue, whatever its lightness: for giving a colour another lightness.
import { transformed, type Matrix3, type Vector3 } from "./matrix.ts";

/** Lightness (0-1), chroma (0 grey) and hue [°] of a colour. */
export interface LightnessChromaHue {
  readonly lightness: number;
  readonly chroma: number;
  readonly hueDegrees: number;
}

// Source: ottosson-2020
const conesFromSrgb: Matrix3 = [
  0.4122214708, 0.5363325363, 0.0514459929, 0.2119034982, 0.6806995451, 0.1073969566, 0.0883024619, 0.2817188376,
  0.6299787005,
];
const labFromCones: Matrix3 = [
  0.2104542553, 0.793617785, -0.0040720468, 1.9779984951, -2.428592205, 0.4505937099, 0.0259040371, 0.7827717662,
  -0.808675766,
];
const conesFromLab: Matrix3 = [
  1, 0.3963377774, 0.2158037573, 1, -0.1055613458, -0.0638541728, 1, -0.0894841775, -1.291485548,
];
const srgbFromCones: Matrix3 = [
  4.0767416621, -3.3077115913, 0.2309699292, -1.2684380046, 2.6097574011, -0.3413193965, -0.0041960863, -0.7034186147,
  1.707614701,
];

/**
 * Oklab's lightness, chroma and hue of linear light.
 * @param linear linear light of the sRGB primaries (0-1)
 * @returns lightness 0-1, chroma from 0, hue [°] from 0 up to 360
 * Source: ottosson-2020
 */
export function oklchFromLinearSrgb(linear: Vector3): LightnessChromaHue {
  const [l, m, s] = transformed(conesFromSrgb, linear);
  const [lightness, a, b] = transformed(labFromCones, [Math.cbrt(l), Math.cbrt(m), Math.cbrt(s)]);
  return {
    lightness,
    chroma: Math.hypot(a, b),
    hueDegrees: ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360,
  };
}

/**
 * Linear light of a colour told by Oklab's lightness, chroma and hue.
 * @returns linear light of the sRGB primaries; outside 0-1 where sRGB does not hold the colour
 * Source: ottosson-2020
 */
export function linearSrgbFromOklch({ lightness, chroma, hueDegrees }: LightnessChromaHue): Vector3 {
  const hue = (hueDegrees * Math.PI) / 180;
  const [l, m, s] = transformed(conesFromLab, [lightness, chroma * Math.cos(hue), chroma * Math.sin(hue)]);
  return transformed(srgbFromCones, [l ** 3, m ** 3, s ** 3]);
}
