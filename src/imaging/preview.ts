// A small upright JPEG of a picture, for showing in a page.
import sharp from "sharp";
import { InputError } from "#shared/errors.ts";
import { inspectPicture } from "./decode.ts";
import type { Preview, PreviewJob } from "./jobs.ts";

/** JPEG quality of previews: fine enough to place corners by. */
const previewQuality = 85;

/**
 * Makes a preview no larger than asked, in sRGB.
 * @throws InputError when the file is not a picture that can be read
 */
export async function makePreview({ picture, maxSidePx }: PreviewJob): Promise<Preview> {
  const { metadata, uprightWidth, uprightHeight } = await inspectPicture(picture);
  if (metadata.space === "cmyk") {
    throw new InputError(
      "not-a-picture",
      "This picture is in CMYK, the colours of a printing press, which cannot be measured. Save it as RGB (sRGB) from the scanner or image program and send that.",
      { field: "photo" },
    );
  }
  try {
    const { data, info } = await sharp(picture, { limitInputPixels: false, failOn: "warning" })
      .autoOrient()
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
    };
  } catch (cause) {
    throw new InputError(
      "not-a-picture",
      "The picture file is damaged or cut short. Send it again; if that fails, save it anew from your image program.",
      { field: "photo", cause },
    );
  }
}
