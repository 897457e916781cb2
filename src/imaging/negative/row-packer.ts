// Packs a picture row by row; packing runs beside the computing of the next rows.
import { constants, createDeflate, type Deflate } from "node:zlib";
import { packedPart, type PackedPart, type PackedPicture } from "#shared/format/packed-picture.ts";
import { rowBytes, type RowForm, type RowSink } from "./row-sink.ts";

/** Bytes that are handed over to be packed at a time. */
const portionBytes = 1 << 20;
/** Row filter "up": the difference to the row above. Source: png-3 clause 9.2 */
const filterUp = 2;

export class RowPacker implements RowSink<PackedPicture> {
  readonly #parts: PackedPart[] = [];
  readonly #deflate: Deflate;
  readonly #form: RowForm;
  readonly #rowBytes: number;
  readonly #above: Uint8Array;
  #portion: Uint8Array;
  #filled = 0;
  #packing: Promise<void> = Promise.resolve();

  constructor(form: RowForm) {
    this.#form = form;
    this.#rowBytes = rowBytes(form);
    this.#above = new Uint8Array(this.#rowBytes);
    this.#portion = new Uint8Array(Math.max(portionBytes, this.#rowBytes + 1));
    // Dithered differences hold few repeats but for runs: run lengths with Huffman codes are 4 times faster than a
    // search for repeats and no larger.
    this.#deflate = createDeflate({ level: 1, strategy: constants.Z_RLE, chunkSize: portionBytes });
    this.#deflate.on("data", (data: Uint8Array) => this.#parts.push(packedPart(data)));
  }

  /** Takes the next row, numbers of 16 bits with their high byte first; wait for it when it gives a promise. */
  row(bytes: Uint8Array): Promise<void> | undefined {
    const portion = this.#portion;
    const count = this.#rowBytes;
    let at = this.#filled;
    portion[at++] = filterUp;
    for (let x = 0; x < count; x++) portion[at + x] = bytes[x]! - this.#above[x]!;
    this.#above.set(bytes);
    this.#filled = at + count;
    return this.#filled + count + 1 > portion.length ? this.#handOver() : undefined;
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
    return { ...this.#form, parts: this.#parts };
  }
}
