// A drawing of our own (SVG, never somebody's file) as a picture to send or to print.
import sharp from "sharp";

/** Twice the size on the screen, so that it prints well. */
const dotsPerInch = 192;

export async function paintDrawing({ svg }: { readonly svg: string }): Promise<{ png: Uint8Array }> {
  const png = await sharp(Buffer.from(svg), { density: dotsPerInch })
    .flatten({ background: "#ffffff" })
    .png()
    .toBuffer();
  return { png: new Uint8Array(png) };
}
