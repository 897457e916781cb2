// The sRGB encoding (IEC 61966-2-1) and the luminance of its primaries.
import { luminanceWeights } from "#shared/limits.ts";

/** Linear value at which the straight toe ends. */
const toeEndLinear = 0.0031308;
/** Encoded value at which the straight toe ends, as the standard rounds it. */
const toeEndEncoded = 0.04045;

/**
 * Linear light of an sRGB code.
 * @param encoded code as a share of its greatest value (0-1)
 * @returns linear light (0-1)
 * @example linearFromSrgb(128 / 255) // 0.215861
 * Source: iec-61966-2-1
 */
export function linearFromSrgb(encoded: number): number {
  return encoded <= toeEndEncoded ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/**
 * sRGB code of linear light.
 * @param linear linear light (0-1)
 * @returns code as a share of its greatest value (0-1)
 * @example srgbFromLinear(0.18) // 0.461356
 * Source: iec-61966-2-1
 */
export function srgbFromLinear(linear: number): number {
  return linear <= toeEndLinear ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/**
 * Luminance of linear light in sRGB primaries.
 * @param red linear light of each primary (0-1)
 * @param green see red
 * @param blue see red
 * @returns luminance relative to that of white (0-1)
 * Source: iec-61966-2-1
 */
export function luminanceFromLinearSrgb(red: number, green: number, blue: number): number {
  return luminanceWeights[0] * red + luminanceWeights[1] * green + luminanceWeights[2] * blue;
}
