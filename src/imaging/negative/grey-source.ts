// A picture file as an upright grey picture of 16 bits, by strips: the colours are never all in memory at once.
import sharp, { type Metadata } from "sharp";
import { closeSync, openSync, readSync, rmSync } from "node:fs";
import { open } from "node:fs/promises";
import { join } from "node:path";
import { transformed, type Vector3 } from "#shared/density/matrix.ts";
import { srgbFromLinear } from "#shared/density/srgb.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import type { GreyWeights } from "#shared/schema/negative.ts";
import type { ProfileWarning } from "#shared/reading/reading-facts.ts";
import { colourMeaning } from "#src/imaging/profile/colour.ts";
import { mostPictureBytes } from "#src/imaging/decode/memory-budget.ts";
import { pictureKind } from "#src/imaging/decode/picture-kind.ts";
import { workingSpace } from "#src/imaging/decode/working-space.ts";
import { code16 } from "./code16.ts";

/** Largest picture that is taken at all. */
const mostSourcePixels = 1e9;
/** Largest grey picture that is kept; larger ones are made smaller while they are decoded. */
const mostGreyPixels = 130e6;
/** Colour bytes that are read at a time. */
const stripBytes = 16 << 20;
/** The decoder's own plain file: 64 bytes of header, then the rows. */
const plainHeaderBytes = 64;
const plainFormat = { uchar: 0, ushort: 2 } as const;
/** Bytes of a file that tell its kind. */
const headBytes = 1 << 16;

export interface GreySource {
  readonly width: number;
  readonly height: number;
  /** sRGB-encoded grey, 0-65535, row by row. */
  readonly grey: Uint16Array;
  readonly warnings: readonly ProfileWarning[];
}

export interface InspectedSource {
  readonly file: string;
  readonly metadata: Metadata;
  /** Size when upright. */
  readonly width: number;
  readonly height: number;
}

const damaged = (cause: unknown) =>
  readingTrouble("not-a-picture", { code: "picture-damaged" }, { field: "photo", cause });

/**
 * Size and kind of a picture, from its header alone.
 * @throws TroubleError "not-a-picture" or "picture-too-large"
 */
export async function inspectSource(file: string): Promise<InspectedSource> {
  const handle = await open(file);
  const head = new Uint8Array(headBytes);
  const { bytesRead } = await handle.read(head, 0, headBytes, 0).finally(() => handle.close());
  if (pictureKind(head.subarray(0, bytesRead)) === "heic") {
    throw readingTrouble("not-a-picture", { code: "heic-negative" }, { field: "photo" });
  }
  const metadata = await sharp(file, { limitInputPixels: false, failOn: "warning" })
    .metadata()
    .catch((cause: unknown) => {
      throw damaged(cause);
    });
  const pixels = metadata.width * metadata.height;
  if (pixels > mostSourcePixels) {
    throw readingTrouble(
      "picture-too-large",
      { code: "too-many-pixels", pixels, mostPixels: mostSourcePixels, purpose: "negative" },
      { field: "photo" },
    );
  }
  // A file that cannot be read line by line is held whole by its decoder.
  const bytes = pixels * metadata.channels * (metadata.depth === "ushort" ? 2 : 1);
  if (metadata.isProgressive === true && bytes > mostPictureBytes)
    throw readingTrouble("picture-too-large", { code: "too-much-memory" }, { field: "photo" });
  if (metadata.depth !== "uchar" && metadata.depth !== "ushort") {
    throw readingTrouble("not-a-picture", { code: "unusual-numbers" }, { field: "photo" });
  }
  const turned = (metadata.orientation ?? 1) >= 5;
  return {
    file,
    metadata,
    width: turned ? metadata.height : metadata.width,
    height: turned ? metadata.width : metadata.height,
  };
}

/**
 * Grey of a picture: linear light by its own profile, weighted, then encoded as sRGB.
 * @param mostWidth wanted width in pixels, above which the picture may be made smaller while it is decoded
 * @param workFolder for one temporary file as large as the picture's raw colours
 */
export async function greySource(
  { file, metadata }: InspectedSource,
  {
    weights,
    mostWidth,
    workFolder,
    onProgress,
  }: { weights: GreyWeights; mostWidth: number; workFolder: string; onProgress: (share: number) => void },
): Promise<GreySource> {
  const wide = metadata.depth === "ushort";
  const isGrey = metadata.space === "b-w" || metadata.space === "grey16";
  const meaning = colourMeaning(metadata.icc, isGrey ? 1 : 3);
  // Press colours, Lab and profiles made of tables go through the decoder's colour engine.
  const convert =
    !["srgb", "rgb16", "b-w", "grey16", "rgb"].includes(metadata.space) ||
    meaning.warnings.some(({ code }) => code === "profile-tables");
  const turned = (metadata.orientation ?? 1) >= 5;
  const uprightWidth = turned ? metadata.height : metadata.width;
  const shrink = Math.min(1, mostWidth / uprightWidth, Math.sqrt(mostGreyPixels / (metadata.width * metadata.height)));
  const plain = join(workFolder, "source.v");
  let pipeline = sharp(file, { ignoreIcc: !convert, sequentialRead: true, limitInputPixels: false, failOn: "warning" });
  if (shrink < 1)
    pipeline = pipeline.resize({
      width: Math.max(1, Math.round(metadata.width * shrink)),
      height: Math.max(1, Math.round(metadata.height * shrink)),
      fit: "fill",
    });
  if (metadata.hasAlpha) pipeline = pipeline.flatten({ background: "#ffffff" });
  pipeline = pipeline.toColourspace(workingSpace({ isWide: wide, isGrey }));
  let size: { width: number; height: number; channels: number };
  try {
    size = await pipeline.toFile(plain);
  } catch (cause) {
    throw damaged(cause);
  }
  onProgress(0.25);
  try {
    const grey = readGrey(plain, {
      ...size,
      orientation: metadata.orientation ?? 1,
      greyOf: convert
        ? greyPainter(colourMeaning(undefined, size.channels === 1 ? 1 : 3), weights, wide)
        : greyPainter(meaning, weights, wide),
      wide,
    });
    const upright = turned ? { width: size.height, height: size.width } : { width: size.width, height: size.height };
    const warnings = convert ? [] : meaning.warnings.filter(({ code }) => code !== "profile-missing");
    return { ...upright, grey, warnings };
  } finally {
    rmSync(plain, { force: true });
  }
}

/** Turns a run of colour pixels into grey. */
type GreyPainter = (colours: Uint8Array | Uint16Array, channels: number, count: number, out: Uint16Array) => void;

function greyPainter(
  { curves, matrix }: ReturnType<typeof colourMeaning>,
  weights: GreyWeights,
  wide: boolean,
): GreyPainter {
  const codes = wide ? 65_536 : 256;
  const encode = Uint16Array.from({ length: 65_536 }, (_, light) =>
    Math.round(srgbFromLinear(light / 65_535) * 65_535),
  );
  if (curves.length === 1) {
    const table = Uint16Array.from({ length: codes }, (_, code) =>
      Math.round(65_535 * srgbFromLinear(Math.min(1, Math.max(0, curves[0]!(code / (codes - 1)))))),
    );
    return (colours, channels, count, out) => {
      for (let i = 0, k = 0; i < count; i++, k += channels) out[i] = table[colours[k]!]!;
    };
  }
  // Weights on linear sRGB light, carried back through the matrix onto the picture's own primaries.
  const total = weights.red + weights.green + weights.blue;
  const wanted: Vector3 = [weights.red / total, weights.green / total, weights.blue / total];
  const own =
    matrix === null
      ? wanted
      : transformed(
          [matrix[0], matrix[3], matrix[6], matrix[1], matrix[4], matrix[7], matrix[2], matrix[5], matrix[8]],
          wanted,
        );
  const tables = curves.map((curve, channel) =>
    Float32Array.from({ length: codes }, (_, code) => 65_535 * own[channel]! * curve(code / (codes - 1))),
  );
  const [red, green, blue] = [tables[0]!, tables[1]!, tables[2]!];
  return (colours, channels, count, out) => {
    for (let i = 0, k = 0; i < count; i++, k += channels) {
      const light = red[colours[k]!]! + green[colours[k + 1]!]! + blue[colours[k + 2]!]! + 0.5;
      out[i] = encode[code16(light)]!;
    }
  };
}

/** Reads the plain file strip by strip and lays its grey upright. */
function readGrey(
  plain: string,
  {
    width,
    height,
    channels,
    orientation,
    greyOf,
    wide,
  }: { width: number; height: number; channels: number; orientation: number; greyOf: GreyPainter; wide: boolean },
): Uint16Array {
  const descriptor = openSync(plain, "r");
  try {
    const header = Buffer.alloc(plainHeaderBytes);
    readSync(descriptor, header, 0, plainHeaderBytes, 0);
    const isAsTold =
      header.readInt32LE(4) === width &&
      header.readInt32LE(8) === height &&
      header.readInt32LE(12) === channels &&
      header.readInt32LE(20) === (wide ? plainFormat.ushort : plainFormat.uchar);
    if (!isAsTold) throw new TypeError("The decoder wrote its plain file in another shape than it said.");
    const grey = new Uint16Array(width * height);
    const rowBytes = width * channels * (wide ? 2 : 1);
    const rowsAtOnce = Math.max(1, Math.floor(stripBytes / rowBytes));
    const strip = new Uint8Array(rowsAtOnce * rowBytes);
    const row = new Uint16Array(width);
    const place = uprightPlace(orientation, width, height);
    for (let top = 0; top < height; top += rowsAtOnce) {
      const rows = Math.min(rowsAtOnce, height - top);
      readSync(descriptor, strip, 0, rows * rowBytes, plainHeaderBytes + top * rowBytes);
      for (let y = 0; y < rows; y++) {
        const colours = wide
          ? new Uint16Array(strip.buffer, y * rowBytes, width * channels)
          : strip.subarray(y * rowBytes, (y + 1) * rowBytes);
        const { start, step } = place(top + y);
        if (step === 1) {
          greyOf(colours, channels, width, grey.subarray(start, start + width));
          continue;
        }
        greyOf(colours, channels, width, row);
        for (let x = 0, at = start; x < width; x++, at += step) grey[at] = row[x]!;
      }
    }
    return grey;
  } finally {
    closeSync(descriptor);
  }
}

/**
 * Where a stored row goes in the upright picture: place of its first pixel and distance between pixels.
 * Source: exif-2 orientation tag, values 1-8
 */
function uprightPlace(
  orientation: number,
  width: number,
  height: number,
): (y: number) => { start: number; step: number } {
  switch (orientation) {
    case 2:
      return (y) => ({ start: y * width + width - 1, step: -1 });
    case 3:
      return (y) => ({ start: (height - 1 - y) * width + width - 1, step: -1 });
    case 4:
      return (y) => ({ start: (height - 1 - y) * width, step: 1 });
    case 5:
      return (y) => ({ start: y, step: height });
    case 6:
      return (y) => ({ start: height - 1 - y, step: height });
    case 7:
      return (y) => ({ start: (width - 1) * height + height - 1 - y, step: -height });
    case 8:
      return (y) => ({ start: (width - 1) * height + y, step: -height });
    default:
      return (y) => ({ start: y * width, step: 1 });
  }
}
