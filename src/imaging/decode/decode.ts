// From a picture file to its raw numbers, upright, at full depth, together with what those numbers mean.
import sharp, { type Metadata } from "sharp";
import type { TroubleError } from "#shared/errors.ts";
import { readingTrouble, type PictureTrouble } from "#shared/reading/reading-troubles.ts";
import type { Matrix3 } from "#shared/density/matrix.ts";
import type { FileWarning, ProfileFact, SeveralPictures } from "#shared/reading/reading-facts.ts";
import { colourMeaning, srgbCurveMeaning, type ColourMeaning } from "#src/imaging/profile/colour.ts";
import type { LightGrid } from "#src/imaging/even-light.ts";
import { largePixels } from "./half-size.ts";
import { decodeHeic, heicRoundingCodes, mostHeicPixels, namedColours } from "./heic.ts";
import { jpegTables, redRoundingCodes, type JpegTables } from "./jpeg-tables.ts";
import { decodedBytes, mostPictureBytes, waitForRoom } from "./memory-budget.ts";
import { spacingOfNumbers } from "./number-spacing.ts";
import { pictureKind, type PictureKind } from "./picture-kind.ts";
import { severalPictures } from "./pictures-in-file.ts";
import { isHalfTransparent } from "./see-through.ts";
import { workingSpace } from "./working-space.ts";
import { srgbFromWide, wideLinear, wideRaster } from "./wide-raster.ts";

/** Largest picture for a reading; refused before decoding. 120 million pixels are a 6 x 8 inch scan at 1600 dpi. */
const mostPixels = 120_000_000;

/** Longest side of a picture for a reading [px]: a strip of 60 cm at 2500 dpi. */
const longestSide = 60_000;

/** Raw numbers of an upright picture, with one table for each channel that turns them into linear light. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  readonly bitsPerChannel: 8 | 16;
  /** Row by row, channels together. */
  readonly data: Uint8Array | Uint16Array;
  /** Linear light (0-1) of every code, one table for each channel. */
  readonly linear: readonly Float32Array[];
  /** Linear light of the picture's space to linear sRGB; null when they are the same or the picture is grey. */
  readonly matrix: Matrix3 | null;
  readonly profile: ProfileFact;
  /** Standard deviation, in codes, of the file, by which its format may shift the red of a whole area. */
  readonly roundingCodes: number;
  /**
   * How many codes here make one code of the file: more than 1 where the numbers were carried into a finer scale, here
   * or before the file was written. Default 1.
   */
  readonly codesPerFileCode?: number;
  /** Light falling on a place, as a share, when a plain sheet was photographed as well. */
  readonly light?: (x: number, y: number) => readonly [number, number, number];
}

export interface Decoded {
  readonly raster: Raster;
  /** Size of the whole picture, upright; the raster of a large JPEG file may be half of it. */
  readonly full: { readonly width: number; readonly height: number };
  readonly kind: PictureKind;
  /** Bits of each channel in the file itself. */
  readonly fileBits: 8 | 16;
  /** Whether the file carries a camera's notes. */
  readonly hasNotes: boolean;
  /** Pixels to the inch that the file tells; null where it tells none. */
  readonly pixelsPerInch: number | null;
  /** How hard a JPEG file was compressed; null for other formats. */
  readonly tables: JpegTables | null;
  readonly warnings: readonly FileWarning[];
  /** Light of the plain sheet that was photographed in the picture's place; kept with it. */
  readonly evenLight?: LightGrid;
}

const notRead = (
  code: Exclude<PictureTrouble["code"], "too-many-pixels" | "too-long">,
  cause?: unknown,
): TroubleError => readingTrouble("not-a-picture", { code }, { field: "photo", cause });

/** Options that every decoder call shares: no silent colour conversion, no bombs, and nothing half-read. */
const openOptions = { ignoreIcc: true, limitInputPixels: mostPixels, failOn: "warning", sequentialRead: true } as const;

/**
 * Size and kind of a picture, from its header alone.
 * @throws TroubleError "not-a-picture" or "picture-too-large"
 */
export async function inspectPicture(bytes: Uint8Array): Promise<{
  kind: PictureKind;
  metadata: Metadata;
  uprightWidth: number;
  uprightHeight: number;
  several: SeveralPictures | null;
}> {
  const kind = pictureKind(bytes);
  let metadata: Metadata;
  try {
    metadata = await sharp(bytes, { ...openOptions, limitInputPixels: false }).metadata();
  } catch (cause) {
    throw notRead("picture-damaged", cause);
  }
  // A line of a hundred million pixels is small on the disk and takes a decoder most of a minute.
  if (Math.max(metadata.width, metadata.height) > longestSide) {
    throw readingTrouble(
      "picture-too-large",
      { code: "too-long", longestPx: Math.max(metadata.width, metadata.height), mostPx: longestSide },
      { field: "photo" },
    );
  }
  const pixels = metadata.width * metadata.height;
  const most = kind === "heic" ? mostHeicPixels : mostPixels;
  if (pixels > most) {
    throw readingTrouble(
      "picture-too-large",
      { code: "too-many-pixels", pixels, mostPixels: most, purpose: "reading" },
      { field: "photo" },
    );
  }
  // The size of a HEIC picture is told upright, and what its camera notes about turning is not to be done again.
  const turned = kind !== "heic" && (metadata.orientation ?? 1) >= 5;
  return {
    kind,
    metadata,
    uprightWidth: turned ? metadata.height : metadata.width,
    uprightHeight: turned ? metadata.width : metadata.height,
    several: severalPictures(bytes, kind, metadata),
  };
}

/**
 * Decodes a picture: upright, transparent parts on white, 8 or 16 bits kept.
 * @param bytes JPEG, HEIC, PNG, TIFF or WebP file
 * @param options halveLarge: JPEG files beyond `largePixels` at half size
 * @throws TroubleError "not-a-picture" when it cannot be read whole or is half transparent, "picture-too-large" before
 *   decoding
 */
export async function decodePicture(
  bytes: Uint8Array,
  { halveLarge = false }: { readonly halveLarge?: boolean } = {},
): Promise<Decoded> {
  const { kind, metadata, uprightWidth, uprightHeight, several } = await inspectPicture(bytes);
  if (kind === "heic") {
    const { width, height } = metadata;
    // The decoder's planes and its own copy with transparency, before the picture without.
    await waitForRoom(2 * decodedBytes({ width, height, channels: 4, bytesPerChannel: 1, isInterlaced: true }));
    const decoded = await decodedHeic(bytes, metadata);
    return { ...decoded, warnings: withSeveral(several, decoded.warnings) };
  }
  refuseUnreadable(metadata);
  const isLarge = kind === "jpeg" && metadata.width * metadata.height > largePixels;
  const { width, height, channels, numbers } = await uprightNumbers(bytes, metadata, {
    halfSize:
      halveLarge && isLarge ? { width: Math.ceil(uprightWidth / 2), height: Math.ceil(uprightHeight / 2) } : null,
  });
  const meaning = colourMeaning(metadata.icc, channels);
  const tables = kind === "jpeg" ? jpegTables(bytes) : null;
  return {
    raster: {
      width,
      height,
      channels,
      ...inLinearLight(numbers, meaning),
      profile: meaning.profile,
      roundingCodes: tables === null ? 0 : redRoundingCodes(tables),
    },
    full: { width: uprightWidth, height: uprightHeight },
    tables,
    kind,
    fileBits: numbers instanceof Uint16Array ? 16 : 8,
    hasNotes: metadata.exif !== undefined,
    pixelsPerInch: metadata.density ?? null,
    warnings: withSeveral(several, meaning.warnings),
  };
}

const withSeveral = (several: SeveralPictures | null, warnings: readonly FileWarning[]): readonly FileWarning[] =>
  several === null ? warnings : [several, ...warnings];

/** @throws TroubleError "not-a-picture" for inks, colour appearance, and numbers that are neither 8 nor 16 bits */
function refuseUnreadable({ space, depth }: Metadata): void {
  if (space === "cmyk") throw notRead("cmyk");
  if (space === "lab" || space === "labs") throw notRead("lab");
  if (depth !== "uchar" && depth !== "ushort") throw notRead("unusual-numbers");
}

interface UprightNumbers {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  readonly numbers: Uint8Array | Uint16Array;
}

/** The file's own numbers, upright, transparent parts on white, at the size asked for or at their own. */
async function uprightNumbers(
  bytes: Uint8Array,
  metadata: Metadata,
  { halfSize }: { readonly halfSize: { readonly width: number; readonly height: number } | null },
): Promise<UprightNumbers> {
  const isWide = metadata.depth === "ushort";
  const isGrey = metadata.space === "b-w" || metadata.space === "grey16";
  const bytesNeeded = decodedBytes({
    width: metadata.width,
    height: metadata.height,
    channels: metadata.channels,
    bytesPerChannel: isWide ? 2 : 1,
    isInterlaced: metadata.isProgressive === true,
  });
  if (bytesNeeded > mostPictureBytes)
    throw readingTrouble("picture-too-large", { code: "too-much-memory" }, { field: "photo" });
  await waitForRoom(bytesNeeded);
  // A damaged picture says so itself when it is decoded as a whole.
  if (metadata.hasAlpha && (await isHalfTransparent(sharp(bytes, openOptions)).catch(() => false)))
    throw notRead("half-transparent");
  let pipeline = sharp(bytes, openOptions).autoOrient();
  if (halfSize !== null) pipeline = pipeline.resize({ ...halfSize, fit: "fill", fastShrinkOnLoad: true });
  if (metadata.hasAlpha) pipeline = pipeline.flatten({ background: "#ffffff" });
  pipeline = pipeline.toColourspace(workingSpace({ isWide, isGrey }));
  let out: { data: Buffer; info: { width: number; height: number; channels: number } };
  try {
    out = await pipeline.raw(isWide ? { depth: "ushort" } : {}).toBuffer({ resolveWithObject: true });
  } catch (cause) {
    throw notRead("picture-damaged", cause);
  }
  const { data, info } = out;
  if (info.channels !== 1 && info.channels !== 3) throw notRead("unusual-channels");
  const numbers = isWide ? new Uint16Array(data.buffer, data.byteOffset, data.byteLength >> 1) : data;
  return { width: info.width, height: info.height, channels: info.channels, numbers };
}

/** A HEIC picture, decoded apart; its colours by the profile it carries, or by the code points it names. */
async function decodedHeic(bytes: Uint8Array, metadata: Metadata): Promise<Decoded> {
  const named = metadata.icc === undefined ? namedColours(bytes) : null;
  if (named === "high dynamic range") throw notRead("high-dynamic-range");
  const { data, width, height } = await decodeHeic(bytes);
  const meaning =
    named === null || named === "unknown"
      ? colourMeaning(metadata.icc, 3)
      : srgbCurveMeaning(named.name, named.colorants);
  return {
    raster: {
      width,
      height,
      channels: 3,
      ...inLinearLight(data, meaning),
      profile: meaning.profile,
      roundingCodes: heicRoundingCodes,
    },
    full: { width, height },
    tables: null,
    kind: "heic",
    fileBits: 8,
    hasNotes: metadata.exif !== undefined,
    pixelsPerInch: metadata.density ?? null,
    warnings: meaning.warnings,
  };
}

/**
 * The numbers with what makes them linear light: the file's own, or carried into a wide space where its profile is made
 * of tables.
 */
function inLinearLight(
  numbers: Uint8Array | Uint16Array,
  { curves, matrix, tableColour }: ColourMeaning,
): Pick<Raster, "bitsPerChannel" | "data" | "linear" | "matrix" | "codesPerFileCode"> {
  const bits = numbers instanceof Uint16Array ? 16 : 8;
  const spacing = numbers instanceof Uint16Array ? spacingOfNumbers(numbers) : 1;
  if (tableColour === undefined)
    return {
      bitsPerChannel: bits,
      data: numbers,
      linear: linearTables(curves, 2 ** bits),
      matrix,
      codesPerFileCode: spacing,
    };
  return {
    bitsPerChannel: 16,
    data: wideRaster(numbers, tableColour),
    linear: wideLinear,
    matrix: srgbFromWide,
    codesPerFileCode: bits === 8 ? 257 : spacing,
  };
}

/** One table for each channel; channels with the same curve share theirs. */
function linearTables(curves: readonly ((encoded: number) => number)[], codes: number): Float32Array[] {
  const made = new Map<(encoded: number) => number, Float32Array>();
  return curves.map((curve) => {
    const known = made.get(curve);
    if (known !== undefined) return known;
    const table = Float32Array.from({ length: codes }, (_, code) => curve(code / (codes - 1)));
    made.set(curve, table);
    return table;
  });
}
