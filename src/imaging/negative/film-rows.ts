// Greys of the positive become codes of the film file: table, noise where 8 bits need it, ink and order of bytes.
import type { FilmInk } from "#shared/schema/negative.ts";
import { code16 } from "./code16.ts";
import type { RowForm } from "./row-sink.ts";

/** Length of the noise table; a power of two. */
const noiseLength = 1 << 16;
const mask = noiseLength - 1;
/** Rows start this far apart in the noise. */
const noiseStride = 40_503;

/** Codes of one row: 0-255 or 0-65535. */
export type CodeRow = Uint8Array | Uint16Array;

/** Even noise 0-255, the same each time (a linear congruential generator; constants from memory). */
export function ditherNoise(): Uint8Array {
  let state = 1;
  return Uint8Array.from({ length: noiseLength }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state >>> 24;
  });
}

/** Where a row's noise starts, so that every pixel of the whole picture has its own wherever sheets begin. */
export function noiseOffset(x: number, y: number): number {
  return (y * noiseStride + x) & mask;
}

/** Row of 8-bit film values: table, then noise below one level, so that smooth tones do not break into bands. */
export function toFilm8(
  values: Float32Array,
  { tone, noise, offset }: { tone: Uint16Array; noise: Uint8Array; offset: number },
  row: CodeRow,
  left: number,
): void {
  for (let x = 0; x < values.length; x++) {
    row[left + x] = (tone[code16(values[x]! + 0.5)]! + noise[(offset + x) & mask]!) >> 8;
  }
}

/** Row of 16-bit film codes; the table's values are 1/256 of a level, and 255 levels are 65,535. */
export function toFilm16(values: Float32Array, tone: Uint16Array, row: CodeRow, left: number): void {
  for (let x = 0; x < values.length; x++) row[left + x] = (tone[code16(values[x]! + 0.5)]! * 257 + 128) >> 8;
}

/** Code of one film value in 1/256 of a level: with noise for 8 bits, so that a patch has its level in the mean. */
export function codeOfValue(
  value: number,
  { noise, x, y }: { noise: Uint8Array | null; x: number; y: number },
): number {
  return noise === null ? (value * 257 + 128) >> 8 : (value + noise[noiseOffset(x, y)]!) >> 8;
}

/** Code of a level 0-255. */
export function codeOf(level: number, bits: 8 | 16): number {
  return bits === 8 ? Math.round(level) : Math.round(level * 257);
}

/**
 * Gives the bytes of a row of codes: through the ink, in as many channels as the file has.
 * @param highFirst order of the bytes of 16-bit numbers: PNG and PDF have the high one first, the plain file the low
 */
export function rowEncoder(
  { width, bits, channels }: RowForm,
  { ink, highFirst }: { ink: FilmInk; highFirst: boolean },
): (codes: CodeRow) => Uint8Array {
  const top = bits === 8 ? 255 : 65_535;
  const inks = channels === 3 ? [ink.red, ink.green, ink.blue] : [ink.red];
  const isPlain = inks.every((each) => each === 0);
  if (isPlain && bits === 8 && channels === 1) return (codes) => codes as Uint8Array;
  const bytes = new Uint8Array((width * channels * bits) / 8);
  const view = new DataView(bytes.buffer);
  const tables = inks.map((each) => {
    const densest = (each / 255) * top;
    return Uint16Array.from({ length: top + 1 }, (_, code) => Math.round(densest + ((top - densest) * code) / top));
  });
  return (codes) => {
    for (let x = 0, at = 0; x < width; x++) {
      for (const table of tables) {
        const code = table[codes[x]!]!;
        if (bits === 8) bytes[at++] = code;
        else {
          view.setUint16(at, code, !highFirst);
          at += 2;
        }
      }
    }
    return bytes;
  };
}
