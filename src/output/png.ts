// PNG files: a packed picture in its wrapping, and a tone table as a tiny picture.
import { deflateSync } from "node:zlib";
import { packedRowsChunk, type PackedPicture } from "#shared/format/packed-picture.ts";
import { pngHeader, pngChunk, pngResolution, pngSignature } from "#shared/format/png-chunk.ts";

/**
 * A packed picture as a PNG file of so many pixels per inch.
 * Source: png-3 clauses 5 and 11
 */
export function packedPng({ width, height, bits, channels, parts }: PackedPicture, dpi: number): Uint8Array {
  return Buffer.concat([
    Uint8Array.from(pngSignature),
    pngHeader({ width, height, bits, channels }),
    pngResolution(dpi),
    ...parts.map(({ data, checkSum }) => pngChunk(packedRowsChunk, data, checkSum)),
    pngChunk("IEND", new Uint8Array(0)),
  ]);
}

/**
 * A tone table as a 16-bit grey picture one pixel high.
 * @param levels grey levels 0-255, not rounded
 * Source: png-3 clauses 5 and 11
 */
export function tablePng(levels: readonly number[]): Uint8Array {
  const row = Buffer.alloc(1 + 2 * levels.length);
  levels.forEach((level, index) => row.writeUInt16BE(Math.round(level * 257), 1 + 2 * index));
  const header = pngHeader({ width: levels.length, height: 1, bits: 16 });
  return Buffer.concat([
    Uint8Array.from(pngSignature),
    header,
    pngChunk("IDAT", deflateSync(row)),
    pngChunk("IEND", new Uint8Array(0)),
  ]);
}
