// Packs a grey 8-bit picture row by row; packing runs beside the computing of the next rows.
import { constants, createDeflate, type Deflate } from "node:zlib";
import { packedPart, type PackedPart, type PackedPicture } from "#shared/format/packed-picture.ts";

/** Bytes that are handed over to be packed at a time. */
const portionBytes = 1 << 20;
/** Row filter "up": the difference to the row above. Source: png-3 clause 9.2 */
const filterUp = 2;

export class RowPacker {
  readonly #parts: PackedPart[] = [];
  readonly #deflate: Deflate;
  readonly #width: number;
  readonly #height: number;
  readonly #above: Uint8Array;
  #portion: Uint8Array;
  #filled = 0;
  #packing: Promise<void> = Promise.resolve();

  constructor({ width, height }: { width: number; height: number }) {
    this.#width = width;
    this.#height = height;
    this.#above = new Uint8Array(width);
    this.#portion = new Uint8Array(Math.max(portionBytes, width + 1));
    // Dithered differences hold few repeats but for runs: run lengths with Huffman codes are 4 times faster than a
    // search for repeats and no larger.
    this.#deflate = createDeflate({ level: 1, strategy: constants.Z_RLE, chunkSize: portionBytes });
    this.#deflate.on("data", (data: Uint8Array) => this.#parts.push(packedPart(data)));
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

  /** The whole picture. */
  async end(): Promise<PackedPicture> {
    if (this.#filled > 0) await this.#handOver();
    await this.#packing;
    await new Promise<void>((resolve, reject) => {
      this.#deflate.once("error", reject);
      this.#deflate.once("end", resolve);
      this.#deflate.end();
    });
    return { width: this.#width, height: this.#height, bits: 8, parts: this.#parts };
  }
}
