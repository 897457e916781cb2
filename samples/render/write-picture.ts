// Encodes a rendered scene as a picture file; a scan tells how finely it was scanned, as scanners' programs write it.
import sharp from "sharp";
import type { RenderedScene } from "./render-scene.ts";

/** Clockwise turn that a viewer makes for an EXIF orientation, so the stored pixels are turned back by it. */
const viewerTurns = { 1: 0, 3: 180, 6: 90, 8: 270 } as const;

/** What a scan says of itself; the scene's own scale goes by the pixels. */
const scanPixelsPerInch = 300;

/** The file's bytes, stored turned as its orientation says. */
export async function pictureFile({ pixels, width, height, scene }: RenderedScene): Promise<Buffer> {
  const { file } = scene;
  const turn = (360 - viewerTurns[file.orientation]) % 360;
  const raw = sharp(pixels, { raw: { width, height, channels: 3 }, limitInputPixels: false });
  const wide = file.bits === 16 ? raw.toColourspace("rgb16") : raw;
  const turned = turn === 0 ? wide : wide.rotate(turn);
  const tagged = file.orientation === 1 ? turned : turned.withMetadata({ orientation: file.orientation });
  const told = scene.kind === "scan" ? tagged.withDensity(scanPixelsPerInch) : tagged;
  switch (file.format) {
    case "jpeg":
      return told.jpeg({ quality: file.quality, chromaSubsampling: file.chroma }).toBuffer();
    case "png":
      return told.png({ compressionLevel: 3 }).toBuffer();
    case "tiff":
      return told.tiff({ compression: "lzw", predictor: "horizontal" }).toBuffer();
    case "webp":
      return told.webp({ quality: file.quality }).toBuffer();
  }
}
