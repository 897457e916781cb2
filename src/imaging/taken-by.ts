// Whether a camera took a picture, by what its file says: a camera's tone curve lies over the numbers, a scanner's does
// not.
import exifr from "exifr";
import type { TakenBy } from "#shared/schema/reading.ts";
import type { Decoded } from "./decode/decode.ts";

/** What is known of who took a picture. */
export interface Taking {
  /** `supposed`: nothing tells, but no scanner's program writes such a file. */
  readonly camera: "told" | "supposed" | "none";
  /**
   * Logarithm (base 10) of exposure time times sensitivity over the square of the f-number; null where the camera told
   * not all three.
   */
  readonly logExposure: number | null;
}

/**
 * Scanners' programs write how fine they scanned, hardly ever coarser than this; cameras write 72 or nothing, and
 * messengers, which strike a camera's notes out, nothing. Source: common practice, no source.
 */
const scannerPixelsPerInch = 100;

/**
 * Who took a picture: what the user says, else the notes of a camera on its exposure, else what such files are.
 * @param bytes the file
 * @param takenBy what the user says
 */
export async function takingOf(
  bytes: Uint8Array,
  decoded: Pick<Decoded, "hasNotes" | "kind" | "pixelsPerInch">,
  takenBy: TakenBy | undefined,
): Promise<Taking> {
  if (takenBy === "scanner") return { camera: "none", logExposure: null };
  const notes = decoded.hasNotes ? await exposureNotes(bytes) : null;
  if (notes !== null) return { camera: "told", logExposure: notes.logExposure };
  if (takenBy === "camera") return { camera: "told", logExposure: null };
  return { camera: isLikeScan(decoded) ? "none" : "supposed", logExposure: null };
}

/** Phones and messengers write JPEG, HEIC or WebP; PNG and TIFF, or a scanner's fineness, mean a scan. */
const isLikeScan = ({ kind, pixelsPerInch }: Pick<Decoded, "kind" | "pixelsPerInch">): boolean =>
  kind === "png" || kind === "tiff" || (pixelsPerInch !== null && pixelsPerInch >= scannerPixelsPerInch);

/** What a camera wrote about its exposure; null where none did: a maker's name alone scanners write too. */
async function exposureNotes(bytes: Uint8Array): Promise<Pick<Taking, "logExposure"> | null> {
  try {
    const tags: unknown = await exifr.parse(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength), {
      pick: ["FNumber", "ExposureTime", "ISO"],
    });
    if (typeof tags !== "object" || tags === null || !("FNumber" in tags || "ExposureTime" in tags)) return null;
    const number = (name: string) => Number((tags as Readonly<Record<string, unknown>>)[name]);
    const logExposure = Math.log10((number("ExposureTime") * number("ISO")) / number("FNumber") ** 2);
    return { logExposure: Number.isFinite(logExposure) ? logExposure : null };
  } catch {
    // A damaged description says nothing about the picture itself.
    return null;
  }
}
