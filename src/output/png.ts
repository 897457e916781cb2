// A tone table as a tiny grey PNG.
import { deflateSync } from "node:zlib";
import { greyPngHeader, pngChunk, pngSignature } from "#shared/format/png-chunk.ts";

/**
 * A tone table as a 16-bit grey picture one pixel high.
 * @param levels grey levels 0-255, not rounded
 * Source: png-3 clauses 5 and 11
 */
export function tablePng(levels: readonly number[]): Uint8Array {
  const row = Buffer.alloc(1 + 2 * levels.length);
  levels.forEach((level, index) => row.writeUInt16BE(Math.round(level * 257), 1 + 2 * index));
  const header = greyPngHeader({ width: levels.length, height: 1, bits: 16 });
  return Buffer.concat([
    Uint8Array.from(pngSignature),
    header,
    pngChunk("IDAT", deflateSync(row)),
    pngChunk("IEND", new Uint8Array(0)),
  ]);
}
