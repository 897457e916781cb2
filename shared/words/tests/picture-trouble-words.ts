// What is said when a file cannot be taken as a picture, or nobody has time to read it.
import type { PictureTrouble, WorkTrouble } from "#shared/reading/reading-troubles.ts";
import { pdfSentence } from "./chosen-file-words.ts";
import type { Sentences } from "#shared/words/sentences.ts";

const asJpeg =
  "In the phone's camera settings choose the most compatible format (JPEG) and take the picture again, or share " +
  "it from the phone as JPEG.";

export const pictureSentences: Sentences<PictureTrouble | WorkTrouble> = {
  "file-empty": "The file is empty. Choose the picture again.",
  "file-cut-short": "The picture file is cut short. Send it again.",
  "camera-raw":
    "This is a camera raw file. Develop it without tone changes in your raw program and save it as a 16-bit TIFF " +
    "or PNG, then send that.",
  avif: "This is an AVIF picture, which cannot be read here. Save or share it as JPEG and send that.",
  "heic-damaged": `This HEIC picture is damaged, cut short, or of a kind that cannot be read here. ${asJpeg}`,
  "heic-decoder-missing": `This is a HEIC picture, and the decoder for it is not installed here. ${asJpeg}`,
  "heic-negative":
    "A HEIC picture cannot be made into a negative here. Save it as JPEG, TIFF or PNG in your image program, or " +
    "share it from the phone as JPEG, and send that.",
  "high-dynamic-range":
    "This HEIC picture holds high dynamic range, whose tones cannot be measured. Switch HDR off in the camera's " +
    "settings and take it again, or share it as JPEG.",
  pdf: pdfSentence,
  "no-known-picture": "This file is not a picture that can be read here. Send a JPEG, HEIC, PNG, TIFF or WebP file.",
  "picture-damaged":
    "The picture file is damaged or cut short. Send it again; if that fails, save it anew from your image program.",
  cmyk:
    "This picture is in CMYK, the colours of a printing press, which cannot be measured. Save it as RGB (sRGB) from " +
    "the scanner or image program and send that.",
  lab: "This picture is in Lab colours. Save it as RGB (sRGB, 8 or 16 bits) and send that.",
  "unusual-numbers": "This picture has an unusual number format. Save it with 8 or 16 bits per channel and send that.",
  "unusual-channels":
    "This picture has an unusual number of colour channels. Save it as plain RGB or grey and send that.",
  "half-transparent":
    "Parts of this picture are half transparent, which mixes their tones with white. Save it anew without " +
    "transparency from the scanner or image program and send that.",
  "too-many-pixels": ({ pixels, mostPixels, purpose }) =>
    `The picture has ${Math.round(pixels / 1e6)} million pixels; at most ${mostPixels / 1e6} million can be ${
      purpose === "reading"
        ? "read. Scan at a lower resolution (600 dpi is plenty) or crop it to the strip and the paper round it."
        : "taken. Make it smaller in your image program: a print of A2 at 300 dpi needs 35 million."
    }`,
  "too-long": ({ longestPx, mostPx }) =>
    `The picture is ${longestPx} pixels long; at most ${mostPx} can be read. Crop it to the strip and the paper ` +
    "round it.",
  "too-much-memory":
    "This picture needs more memory than there is for one picture. Send a smaller one: 12 million pixels are plenty.",
  stopping: "The server is stopping: try again in a moment.",
  "too-many-waiting": "Many pictures are being read at the moment: wait a little and send this one again.",
  "took-too-long": ({ limitSeconds }) =>
    `This picture took longer than ${limitSeconds} seconds and was stopped. Send a smaller picture, or try again ` +
    "when the server is less busy.",
};
