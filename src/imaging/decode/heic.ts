// HEIC, as phones save it. The decoder (libheif, built for WebAssembly) stands behind this one file and can be
// exchanged or left away.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { srgbChromaticities, xyzD50FromRgb, type Chromaticities } from "#shared/density/rgb-spaces.ts";
import type { Matrix3 } from "#shared/density/matrix.ts";

/** Largest HEIC picture: its decoder needs several times the picture's own memory. */
export const mostHeicPixels = 50_000_000;
/**
 * Rounding of the format, in codes of red, by which a whole area may be shifted: brightness and colour difference are
 * both whole numbers after decoding. How hard the file was compressed it does not tell as JPEG does.
 * Source: ITU-T T.871 (conversion), for the same conversion; size common practice, no source
 */
export const heicRoundingCodes = 0.6;

/** The part of the decoder that is used here; its own types describe far more, loosely. */
interface HeifImage {
  get_width(): number;
  get_height(): number;
  is_primary(): boolean;
  display(target: Rgba, done: (filled: Rgba | null) => void): void;
  free(): void;
}
interface Rgba {
  readonly data: Uint8ClampedArray;
  readonly width: number;
  readonly height: number;
}
interface HeifLibrary {
  readonly ready?: Promise<unknown>;
  readonly HeifDecoder: new () => {
    decode(bytes: Uint8Array): HeifImage[];
    readonly decoder: { delete(): void } | null;
  };
}

const notRead = (code: "heic-damaged" | "heic-decoder-missing", cause: unknown) =>
  readingTrouble("not-a-picture", { code }, { field: "photo", cause });

let wasmBinary: Buffer | null = null;

/** A decoder of its own for each picture, so that the memory of a large one does not stay. */
async function freshDecoder(): Promise<HeifLibrary> {
  const require = createRequire(import.meta.url);
  try {
    wasmBinary ??= readFileSync(require.resolve("libheif-js/libheif-wasm/libheif.wasm"));
    // The package describes its build loosely: what is used of it is written down above.
    const make = require("libheif-js/libheif-wasm/libheif.js") as (options: { wasmBinary: Buffer }) => HeifLibrary;
    const library = make({ wasmBinary });
    await library.ready;
    return library;
  } catch (cause) {
    throw notRead("heic-decoder-missing", cause);
  }
}

/**
 * Red, green, blue of every pixel at 8 bits, turned as the file says.
 * @throws TroubleError "not-a-picture" when the file is damaged or of a form that the decoder does not read
 */
export async function decodeHeic(bytes: Uint8Array): Promise<{ data: Uint8Array; width: number; height: number }> {
  const { HeifDecoder } = await freshDecoder();
  const decoder = new HeifDecoder();
  let images: HeifImage[] = [];
  try {
    images = decoder.decode(bytes);
    const image = images.find((each) => each.is_primary()) ?? images[0];
    if (image === undefined) throw new Error("no picture in the file");
    const [width, height] = [image.get_width(), image.get_height()];
    const { data: rgba } = await new Promise<Rgba>((resolve, reject) => {
      image.display({ data: new Uint8ClampedArray(width * height * 4), width, height }, (filled) =>
        filled === null ? reject(new Error("decoding failed")) : resolve(filled),
      );
    });
    const data = new Uint8Array(width * height * 3);
    for (let from = 0, to = 0; to < data.length; from += 4, to += 3) {
      data[to] = rgba[from]!;
      data[to + 1] = rgba[from + 1]!;
      data[to + 2] = rgba[from + 2]!;
    }
    return { data, width, height };
  } catch (cause) {
    throw notRead("heic-damaged", cause);
  } finally {
    images.forEach((image) => image.free());
    decoder.decoder?.delete();
  }
}

/**
 * Display P3: the primaries of digital cinema under D65.
 * Source: iec-61966-2-1 for white; primaries from memory (SMPTE RP 431-2)
 */
const p3Chromaticities: Chromaticities = {
  red: [0.68, 0.32],
  green: [0.265, 0.69],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

/** What the file says about its colours in numbers instead of by a profile. */
export type NamedColours =
  { readonly name: "sRGB" | "Display P3"; readonly colorants: Matrix3 } | "high dynamic range" | "unknown";

/**
 * Colours that a HEIC file names by code points (its colour box of type "nclx"); null when it has none.
 * Source: itu-t-h273 (code points 1, 12; 13, 16, 18), from memory
 */
export function namedColours(bytes: Uint8Array): NamedColours | null {
  const header = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.byteLength, 262_144));
  const at = header.indexOf("colrnclx", 0, "latin1");
  if (at < 0 || at + 12 > header.length) return null;
  const [primaries, transfer] = [header.readUInt16BE(at + 8), header.readUInt16BE(at + 10)];
  if (transfer === 16 || transfer === 18) return "high dynamic range";
  if (transfer !== 13) return "unknown";
  if (primaries === 1) return { name: "sRGB", colorants: xyzD50FromRgb(srgbChromaticities) };
  return primaries === 12 ? { name: "Display P3", colorants: xyzD50FromRgb(p3Chromaticities) } : "unknown";
}
