// How many pictures a file holds: frames of an animation, pages of a TIFF, a burst in one HEIC file. One is read.
import type { Metadata } from "sharp";
import type { SeveralPictures } from "#shared/reading/reading-facts.ts";
import type { PictureKind } from "./picture-kind.ts";

/** NewSubfileType of a TIFF directory, and its bit for a smaller copy of another one. Source: tiff-6, section 8 */
const subfileTypeTag = 254;
const smallerCopyBit = 1;
/** Entries come in the order of their tags, and hardly any tag comes before this one. */
const firstEntries = 8;
/** A chain of directories longer than this is no scan. */
const mostDirectories = 10_000;
/** Bytes before the first chunk of a PNG file, and round the data of each. Source: png-3, 5.2 and 5.3 */
const pngStart = 8;
const chunkRound = 12;

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

const wordOf = { jpeg: "pages", png: "frames", webp: "frames", tiff: "pages", heic: "shots" } as const;

/** What is worth saying about a file that holds more pictures than the one that is read; null when it does not. */
export function severalPictures(
  bytes: Uint8Array,
  kind: PictureKind,
  metadata: Pick<Metadata, "pages">,
): SeveralPictures | null {
  const pages = metadata.pages ?? 1;
  const counts: Readonly<Record<PictureKind, () => number>> = {
    jpeg: () => 1,
    png: () => framesOfPng(bytes),
    webp: () => pages,
    tiff: () => (pages > 1 ? (pagesOfTiff(bytes) ?? pages) : 1),
    heic: () => pages,
  };
  const of = counts[kind]();
  const are = wordOf[kind];
  return of > 1 ? { code: "several-pictures-in-file", of, are } : null;
}

/** Frames of an animated PNG, by its control chunk before the picture. Source: png-3, 11.3.6.1 (acTL) */
function framesOfPng(bytes: Uint8Array): number {
  const view = viewOf(bytes);
  for (let at = pngStart; at + chunkRound <= bytes.length;) {
    const length = view.getUint32(at);
    const name = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    if (name === "acTL" && length >= 4 && at + chunkRound <= bytes.length) return view.getUint32(at + 8);
    if (name === "IDAT") return 1;
    at += chunkRound + length;
  }
  return 1;
}

/**
 * Directories of a TIFF file that are pages of their own, without the smaller copies that scanners keep beside them;
 * null where they cannot be told, as in files with large offsets. Source: tiff-6, section 2
 */
function pagesOfTiff(bytes: Uint8Array): number | null {
  const view = viewOf(bytes);
  const little = bytes[0] === 0x49;
  if (view.getUint16(2, little) !== 42) return null;
  let pages = 0;
  let at = view.getUint32(4, little);
  for (let seen = 0; at > 0 && seen < mostDirectories; seen++) {
    if (at + 2 > bytes.length) return null;
    const end = at + 2 + 12 * view.getUint16(at, little);
    if (end + 4 > bytes.length) return null;
    let isSmallerCopy = false;
    for (let entry = at + 2; entry < Math.min(end, at + 2 + 12 * firstEntries); entry += 12)
      if (view.getUint16(entry, little) === subfileTypeTag)
        isSmallerCopy = (view.getUint32(entry + 8, little) & smallerCopyBit) !== 0;
    if (!isSmallerCopy) pages++;
    at = view.getUint32(end, little);
  }
  return pages;
}
