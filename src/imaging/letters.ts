// Letters as pictures, from the bitmap font that comes with the image library: no font needs to be installed.
import { Jimp, loadFont, measureText, measureTextHeight } from "jimp";
import { SANS_64_BLACK } from "jimp/fonts";
import sharp from "sharp";
import { once } from "./once.ts";

export interface LetterMask {
  readonly width: number;
  readonly height: number;
  /** 255 where the letter is, 0 where it is not, row by row. */
  readonly ink: Uint8Array;
}

const font = once(() => loadFont(SANS_64_BLACK));

/**
 * One line of text as a mask.
 * @param heightPx height of the line, from the top of its capitals' room to the bottom of its descenders
 * @param mostWidthPx the line is made smaller to fit this width
 */
export async function letterMask({
  text,
  heightPx,
  mostWidthPx = Infinity,
}: {
  text: string;
  heightPx: number;
  mostWidthPx?: number;
}): Promise<LetterMask> {
  const face = await font();
  const fullWidth = Math.max(1, measureText(face, text)) + 8;
  const fullHeight = measureTextHeight(face, text, fullWidth + 64);
  const scale = Math.min(heightPx / fullHeight, mostWidthPx / fullWidth);
  const picture = new Jimp({ width: fullWidth, height: fullHeight, color: 0xffffffff });
  picture.print({ font: face, x: 4, y: 0, text });
  const size = {
    width: Math.max(1, Math.round(fullWidth * scale)),
    height: Math.max(1, Math.round(fullHeight * scale)),
  };
  const grey = await sharp(picture.bitmap.data, { raw: { width: fullWidth, height: fullHeight, channels: 4 } })
    .removeAlpha()
    .greyscale()
    .negate()
    .resize({ ...size, fit: "fill" })
    .raw()
    .toBuffer();
  const channels = grey.length / (size.width * size.height);
  return {
    ...size,
    ink:
      channels === 1
        ? new Uint8Array(grey)
        : Uint8Array.from({ length: size.width * size.height }, (_, i) => grey[i * channels] as number),
  };
}
