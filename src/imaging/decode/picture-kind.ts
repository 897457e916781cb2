// What a file is, by its first bytes, before any decoder sees it.
import type { TroubleError } from "#shared/errors.ts";
import { isPdf } from "#shared/reading/chosen-file.ts";
import { readingTrouble, type PictureTrouble } from "#shared/reading/reading-troubles.ts";

export type PictureKind = "jpeg" | "png" | "tiff" | "webp" | "heic";

const text = (bytes: Uint8Array, from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to));

/** Brands of the ISO base media container that hold HEIC pictures, and those of its AVIF ones. */
const heicBrands = /^(heic|heix|hevc|hevx|heim|heis|mif1|msf1)$/u;
const avifBrands = /^(avif|avis)$/u;

/** DNGVersion, the TIFF tag by which a camera raw file calls itself one. */
const dngVersionTag = 50_706;

/** Whether the first directory of a TIFF file carries a tag. */
function hasTiffTag(bytes: Uint8Array, tag: number): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = bytes[0] === 0x49;
  const start = view.getUint32(4, little);
  if (start + 2 > bytes.length) return false;
  const count = view.getUint16(start, little);
  for (let i = 0; i < count && start + 14 + 12 * i <= bytes.length; i++) {
    if (view.getUint16(start + 2 + 12 * i, little) === tag) return true;
  }
  return false;
}

/** The four starts of a TIFF file: little or big end first, and the kind with large offsets. */
const tiffStarts: ReadonlySet<string> = new Set(["II*\0", "MM\0*", "II+\0", "MM\0+"]);

const refused = (code: Exclude<PictureTrouble["code"], "too-many-pixels" | "too-long">): TroubleError =>
  readingTrouble("not-a-picture", { code }, { field: "photo" });

/** @throws TroubleError for a camera's raw file, which is a TIFF in all but its pixels, and for a stub of one */
function tiffKind(bytes: Uint8Array): "tiff" {
  if (bytes.length < 16) throw refused("file-cut-short");
  if (text(bytes, 8, 10) === "CR" || hasTiffTag(bytes, dngVersionTag)) throw refused("camera-raw");
  return "tiff";
}

/** What an ISO base media container holds by its brand; null for films and other things. */
function containerKind(brand: string): "heic" | null {
  if (heicBrands.test(brand)) return "heic";
  if (avifBrands.test(brand)) throw refused("avif");
  return null;
}

/**
 * The kind of a picture file.
 * @param bytes the file as it came
 * @throws TroubleError "not-a-picture" for everything that is not JPEG, HEIC, PNG, TIFF or WebP, with what to do
 *   instead
 */
export function pictureKind(bytes: Uint8Array): PictureKind {
  if (bytes.length === 0) throw refused("file-empty");
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return "jpeg";
  if (text(bytes, 0, 8) === "\x89PNG\r\n\x1a\n") return "png";
  if (text(bytes, 0, 4) === "RIFF" && text(bytes, 8, 12) === "WEBP") return "webp";
  if (tiffStarts.has(text(bytes, 0, 4))) return tiffKind(bytes);
  const inContainer = text(bytes, 4, 8) === "ftyp" ? containerKind(text(bytes, 8, 12)) : null;
  if (inContainer !== null) return inContainer;
  throw refused(isPdf(bytes) ? "pdf" : "no-known-picture");
}
