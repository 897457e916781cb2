// Rows written into the image library's own plain file, from which it makes a TIFF without holding the picture.
import { open, rm, type FileHandle } from "node:fs/promises";
import sharp from "sharp";
import { mmPerInch } from "#shared/units/inch.ts";
import { rowBytes, type RowForm, type RowSink } from "./row-sink.ts";

/** Bytes that are written at a time. */
const portionBytes = 4 << 20;
const headerBytes = 64;
/** First word of the plain file, its numbers' low byte first. */
const plainMagic = 0x08f2_a6b6;
/** Kinds of picture as the plain file numbers them. */
const kinds = { 1: { 8: 1, 16: 26 }, 3: { 8: 22, 16: 25 } } as const;
const formats = { 8: 0, 16: 2 } as const;
const spaces = { 1: { 8: "b-w", 16: "grey16" }, 3: { 8: "srgb", 16: "rgb16" } } as const;

export class TiffWriter implements RowSink<Uint8Array> {
  readonly #form: RowForm;
  readonly #file: string;
  readonly #dpi: number;
  #handle: FileHandle | null = null;
  #portion: Uint8Array;
  #filled = headerBytes;

  /** @param place.file path of a file that may be written and is taken away again */
  constructor(form: RowForm, place: { readonly file: string; readonly dpi: number }) {
    this.#form = form;
    this.#file = place.file;
    this.#dpi = place.dpi;
    this.#portion = new Uint8Array(Math.max(portionBytes, headerBytes + rowBytes(form)));
    this.#portion.set(plainHeader(form));
  }

  /** Takes the next row, numbers of 16 bits with their low byte first; wait for it when it gives a promise. */
  row(bytes: Uint8Array): Promise<void> | undefined {
    this.#portion.set(bytes, this.#filled);
    this.#filled += bytes.length;
    return this.#filled + bytes.length > this.#portion.length ? this.#write() : undefined;
  }

  async #write(): Promise<void> {
    this.#handle ??= await open(this.#file, "w");
    await this.#handle.write(this.#portion, 0, this.#filled);
    this.#filled = 0;
  }

  /** The TIFF file. Source: tiff-6 (compression 8, horizontal differences) */
  async end(): Promise<Uint8Array> {
    try {
      await this.#write();
      await this.#handle?.close();
      const { bits, channels } = this.#form;
      const perMm = this.#dpi / mmPerInch;
      return await sharp(this.#file, { limitInputPixels: false, sequentialRead: true })
        .toColourspace(spaces[channels][bits])
        .tiff({ compression: "deflate", predictor: "horizontal", xres: perMm, yres: perMm, resolutionUnit: "inch" })
        .toBuffer();
    } finally {
      await rm(this.#file, { force: true });
    }
  }
}

function plainHeader({ width, height, bits, channels }: RowForm): Uint8Array {
  const header = new Uint8Array(headerBytes);
  const view = new DataView(header.buffer);
  const numbers = [plainMagic, width, height, channels, bits, formats[bits], 0, kinds[channels][bits]];
  numbers.forEach((number, index) => view.setUint32(4 * index, number, true));
  view.setFloat32(32, 1, true);
  view.setFloat32(36, 1, true);
  return header;
}
