// CIE 1976 L*a*b* under D50, the white of ICC profiles and of most instruments for prints.
import type { Vector3 } from "./matrix.ts";
import { d50 } from "./rgb-spaces.ts";

/**
 * Share of white (0-1) of a channel from its CIE 1976 function f, the cube root with its straight foot.
 * @param f (L* + 16) / 116 for luminance; below 4/29 the share is 0
 * @example shareFromCubeRoot(1) // 1
 * Source: cie-1976-lightness
 */
export function shareFromCubeRoot(f: number): number {
  return f > 6 / 29 ? f * f * f : Math.max(0, (108 / 841) * (f - 4 / 29));
}

/**
 * CIE XYZ of a colour in L*a*b* under D50.
 * @param lab L* (0-100), a*, b*
 * @returns XYZ with Y of white = 1; lightness below 0 counts as 0
 * @example xyzFromLabD50([100, 0, 0]) // [0.9642, 1, 0.8249]
 * Source: cie-1976-lightness
 */
export function xyzFromLabD50([lightness, a, b]: Vector3): Vector3 {
  const f = (lightness + 16) / 116;
  return [
    d50[0] * shareFromCubeRoot(f + a / 500),
    d50[1] * shareFromCubeRoot(f),
    d50[2] * shareFromCubeRoot(f - b / 200),
  ];
}
