// CIE 1976 L*a*b*: the share of light behind its cube root.
/**
 * Share of white (0-1) of a channel from its CIE 1976 function f, the cube root with its straight foot.
 * @param f (L* + 16) / 116 for luminance; below 4/29 the share is 0
 * @example shareFromCubeRoot(1) // 1
 * Source: cie-1976-lightness
 */
export function shareFromCubeRoot(f: number): number {
  return f > 6 / 29 ? f * f * f : Math.max(0, (108 / 841) * (f - 4 / 29));
}
