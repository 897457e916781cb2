// CIE 1976 lightness L*: how light a tone looks beside its white, 0 to 100.

/** Where the cube root gives way to a straight line: (6/29)^3. */
const breakRatio = (6 / 29) ** 3;
/** Slope of L* below the break: 116 * 841/108 = 903.2963. */
const slopeBelowBreak = 116 * (841 / 108);

/**
 * CIE 1976 lightness of a luminance beside its white.
 * @param luminance relative to white (0-1); below 0 counts as 0
 * @returns L*, 0 for black and 100 for the white itself
 * @example lightnessFromLuminance(0.18) // 49.4961
 * Source: cie-1976-lightness
 */
export function lightnessFromLuminance(luminance: number): number {
  if (luminance <= 0) return 0;
  return luminance > breakRatio ? 116 * Math.cbrt(luminance) - 16 : slopeBelowBreak * luminance;
}

/**
 * Luminance, relative to white, of a CIE 1976 lightness.
 * @param lightness L*, 0-100; below 0 counts as 0
 * @returns luminance relative to white
 * @example luminanceFromLightness(100) // 1
 * Source: cie-1976-lightness
 */
export function luminanceFromLightness(lightness: number): number {
  if (lightness <= 0) return 0;
  return lightness > slopeBelowBreak * breakRatio ? ((lightness + 16) / 116) ** 3 : lightness / slopeBelowBreak;
}
