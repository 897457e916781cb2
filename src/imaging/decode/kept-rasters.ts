// Decoded pictures that are likely to be measured again soon, as while a corner is dragged: few, for a short time,
// shared by all workers.
import type { Decoded } from "./decode.ts";

export interface KeptRastersOptions {
  /**
   * Most bytes of all kept pictures together; larger pictures are not kept. Default 256 MiB: one of 80 million pixels
   * at 8 bits, or seven of 12.
   */
  readonly mostBytes?: number;
  /** How long a picture that nobody measures is kept. Default 45. */
  readonly seconds?: number;
}

/** A decoded picture whose numbers lie in memory that threads share, so that handing it over copies nothing. */
export function inSharedMemory(decoded: Decoded): Decoded {
  const { data } = decoded.raster;
  const memory = new SharedArrayBuffer(data.byteLength);
  const shared = data instanceof Uint16Array ? new Uint16Array(memory) : new Uint8Array(memory);
  shared.set(data);
  return { ...decoded, raster: { ...decoded.raster, data: shared } };
}

const bytesOf = ({ raster }: Decoded): number =>
  raster.data.byteLength + raster.linear.reduce((sum, table) => sum + table.byteLength, 0);

export class KeptRasters {
  readonly #mostBytes: number;
  readonly #milliseconds: number;
  /** Least recently measured first. */
  readonly #kept = new Map<string, { readonly decoded: Decoded; readonly timer: NodeJS.Timeout }>();
  #bytes = 0;

  constructor({ mostBytes = 256 * 1024 * 1024, seconds = 45 }: KeptRastersOptions = {}) {
    this.#mostBytes = mostBytes;
    this.#milliseconds = seconds * 1000;
  }

  /** Bytes held now. */
  get bytes(): number {
    return this.#bytes;
  }

  /** The picture kept under a name, whose time then begins anew. */
  find(name: string): Decoded | undefined {
    const kept = this.#kept.get(name);
    if (kept === undefined) return undefined;
    this.keep(name, kept.decoded);
    return kept.decoded;
  }

  /** Keeps a picture, at the cost of those that were not measured for longest. */
  keep(name: string, decoded: Decoded): void {
    this.#drop(name);
    const bytes = bytesOf(decoded);
    if (bytes > this.#mostBytes) return;
    for (const oldest of this.#kept.keys()) {
      if (this.#bytes + bytes <= this.#mostBytes) break;
      this.#drop(oldest);
    }
    const timer = setTimeout(() => this.#drop(name), this.#milliseconds).unref();
    this.#kept.set(name, { decoded, timer });
    this.#bytes += bytes;
  }

  clear(): void {
    for (const name of [...this.#kept.keys()]) this.#drop(name);
  }

  #drop(name: string): void {
    const kept = this.#kept.get(name);
    if (kept === undefined) return;
    clearTimeout(kept.timer);
    this.#kept.delete(name);
    this.#bytes -= bytesOf(kept.decoded);
  }
}
