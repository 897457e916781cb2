// A small upright JPEG of a picture, for showing in a page.
import sharp, { type Sharp } from "sharp";
import { TroubleError } from "#shared/errors.ts";
import { glanceAt, type PictureGlance } from "#shared/reading/picture-glance.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { inspectPicture } from "./decode.ts";
import { decodeHeic } from "./heic.ts";
import type { Preview, PreviewJob } from "#src/imaging/jobs.ts";
import type { PictureKind } from "./picture-kind.ts";

/** JPEG quality of previews: fine enough to place corners by. */
const previewQuality = 85;

/**
 * Makes a preview no larger than asked, in sRGB.
 * @throws TroubleError when the file is not a picture that can be read
 */
export async function makePreview({ picture, maxSidePx, isLookedAt = false }: PreviewJob): Promise<Preview> {
  const { kind, metadata, uprightWidth, uprightHeight, several } = await inspectPicture(picture);
  if (metadata.space === "cmyk") {
    throw readingTrouble("not-a-picture", { code: "cmyk" }, { field: "photo" });
  }
  try {
    const { data, info } = await (
      await upright(picture, kind)
    )
      .resize({ width: maxSidePx, height: maxSidePx, fit: "inside", withoutEnlargement: true })
      .flatten({ background: "#ffffff" })
      .jpeg({ quality: previewQuality, chromaSubsampling: "4:4:4" })
      .toBuffer({ resolveWithObject: true });
    return {
      jpeg: new Uint8Array(data),
      fullWidth: uprightWidth,
      fullHeight: uprightHeight,
      width: info.width,
      height: info.height,
      ...(several === null ? {} : { several }),
      ...(isLookedAt ? { glance: await glanceAtJpeg(data) } : {}),
    };
  } catch (cause) {
    if (cause instanceof TroubleError) throw cause;
    throw readingTrouble("not-a-picture", { code: "picture-damaged" }, { field: "photo", cause });
  }
}

/** The small picture decoded once more: far less than decoding the large one. */
async function glanceAtJpeg(jpeg: Uint8Array): Promise<PictureGlance> {
  const { data, info } = await sharp(jpeg)
    .toColourspace("srgb")
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return glanceAt({ width: info.width, height: info.height, rgb: new Uint8Array(data) });
}

/** The picture turned as its file says, in its own numbers; those of a HEIC picture are shown as they are. */
async function upright(picture: Uint8Array, kind: PictureKind): Promise<Sharp> {
  if (kind !== "heic") return sharp(picture, { limitInputPixels: false, failOn: "warning" }).autoOrient();
  const { data, width, height } = await decodeHeic(picture);
  return sharp(data, { raw: { width, height, channels: 3 } });
}
