// The plain tape archive: POSIX ustar, files only, names under 100 bytes. Any tar program reads what this writes.
// Source: IEEE Std 1003.1-2017, pax, "ustar Interchange Format"; from memory, checked against the system's tar in the
//   tests.

const blockBytes = 512;
/** Eleven octal digits. */
const largestFileBytes = 8 ** 11 - 1;

/** The header block of one file. @throws RangeError for a name or size that the format cannot carry. */
export function tarHeader({
  name,
  sizeBytes,
  modified,
}: {
  name: string;
  sizeBytes: number;
  modified: Date;
}): Uint8Array {
  const header = Buffer.alloc(blockBytes);
  if (Buffer.byteLength(name) > 99 || sizeBytes > largestFileBytes)
    throw new RangeError(`A tape archive cannot hold ${name} (${sizeBytes} bytes).`);
  const octal = (value: number, digits: number): string => `${Math.floor(value).toString(8).padStart(digits, "0")}\0`;
  header.write(name, 0);
  header.write(octal(0o644, 7), 100);
  header.write(octal(0, 7), 108);
  header.write(octal(0, 7), 116);
  header.write(octal(sizeBytes, 11), 124);
  header.write(octal(modified.getTime() / 1000, 11), 136);
  header.write("        ", 148);
  header.write("0", 156);
  header.write("ustar\0" + "00", 257);
  header.write(`${checksumOf(header).toString(8).padStart(6, "0")}\0 `, 148);
  return header;
}

/** What follows a file's bytes, up to the next whole block. */
export function tarPadding(sizeBytes: number): Uint8Array {
  return new Uint8Array((blockBytes - (sizeBytes % blockBytes)) % blockBytes);
}

/** The end of an archive: two empty blocks. */
export const tarEnd: Uint8Array = new Uint8Array(2 * blockBytes);

/** The file's bytes must be read to their end before the next file is asked for. */
export interface TarFile {
  readonly name: string;
  readonly sizeBytes: number;
  readonly bytes: AsyncIterable<Uint8Array>;
}

/** A damaged or foreign archive. */
export class TarError extends Error {
  override readonly name = "TarError";
}

/**
 * The files of an archive as they arrive.
 *
 * @throws TarError when the archive is cut short, damaged, or holds anything but plain files
 */
export async function* tarFiles(source: AsyncIterable<Uint8Array>): AsyncGenerator<TarFile> {
  const reader = new ByteReader(source);
  for (;;) {
    const header = await reader.exactly(blockBytes);
    if (header.every((byte) => byte === 0)) return;
    const stored = parseInt(Buffer.from(header.subarray(148, 156)).toString("latin1"), 8);
    const blanked = Buffer.from(header);
    blanked.write("        ", 148);
    if (stored !== checksumOf(blanked)) throw new TarError("A header is damaged.");
    const type = String.fromCharCode(header[156] ?? 0);
    if (type !== "0" && type !== "\0") throw new TarError("The archive holds something that is no plain file.");
    const name = textUntilZero(header.subarray(0, 100));
    const sizeBytes = parseInt(textUntilZero(header.subarray(124, 136)), 8);
    if (!Number.isSafeInteger(sizeBytes) || sizeBytes < 0) throw new TarError("A header is damaged.");
    let isRead = false;
    const bytes = (async function* (): AsyncGenerator<Uint8Array> {
      yield* reader.upTo(sizeBytes);
      isRead = true;
    })();
    yield { name, sizeBytes, bytes };
    if (!isRead) for await (const _chunk of bytes) continue;
    await reader.exactly(tarPadding(sizeBytes).byteLength);
  }
}

function checksumOf(header: Uint8Array): number {
  return header.reduce((sum, byte) => sum + byte, 0);
}

function textUntilZero(bytes: Uint8Array): string {
  const end = bytes.indexOf(0);
  return Buffer.from(end === -1 ? bytes : bytes.subarray(0, end))
    .toString("utf8")
    .trim();
}

/** Takes bytes from a stream in the portions that are asked for. */
class ByteReader {
  readonly #source: AsyncIterator<Uint8Array>;
  #rest: Uint8Array = new Uint8Array(0);

  constructor(source: AsyncIterable<Uint8Array>) {
    this.#source = source[Symbol.asyncIterator]();
  }

  async *upTo(count: number): AsyncGenerator<Uint8Array> {
    let left = count;
    while (left > 0) {
      if (this.#rest.byteLength === 0) {
        const next = await this.#source.next();
        if (next.done === true) throw new TarError("The archive is cut short.");
        this.#rest = next.value;
        continue;
      }
      const part = this.#rest.subarray(0, left);
      this.#rest = this.#rest.subarray(part.byteLength);
      left -= part.byteLength;
      yield part;
    }
  }

  async exactly(count: number): Promise<Uint8Array> {
    const parts: Uint8Array[] = [];
    for await (const part of this.upTo(count)) parts.push(part);
    return Buffer.concat(parts);
  }
}
