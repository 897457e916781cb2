// One table from the grey of a picture to the grey of the film: contrast, correction and inversion together.
import { topLevel } from "./grey-level.ts";

/** Steps of a film level in the table's values, so that dithering has something to work with. */
const tonePerLevel = 256;

/**
 * Contrast in the middle tones; both ends stay.
 * @param share grey of the positive, 0-1
 * @param contrastPercent -50 to 50; the middle becomes steeper by this share
 * @returns 0-1, rising
 */
export function contrastedShare(share: number, contrastPercent: number): number {
  // share + k sin(2 pi share) / (2 pi) has slope 1 + k cos(2 pi share): 1 - k in the middle, 1 + k at the ends.
  return share - ((contrastPercent / 100) * Math.sin(2 * Math.PI * share)) / (2 * Math.PI);
}

/**
 * Film value for each 16-bit grey of the positive.
 * @param correction grey levels 0-255 for 65,536 wanted greys, rising
 * @returns 65,536 values in 1/256 of a film level, 0 = densest film when inverted
 */
export function negativeToneTable({
  correction,
  contrast,
  invert,
}: {
  correction: ArrayLike<number>;
  contrast: number;
  invert: boolean;
}): Uint16Array {
  const last = correction.length - 1;
  return Uint16Array.from(correction, (_, code) => {
    const wanted =
      contrast === 0 ? code : Math.min(last, Math.max(0, Math.round(contrastedShare(code / last, contrast) * last)));
    const level = Math.min(topLevel, Math.max(0, correction[wanted]!));
    return Math.round((invert ? topLevel - level : level) * tonePerLevel);
  });
}
