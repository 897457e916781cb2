// A tone table as a tiny grey PNG.
import { deflateSync } from "node:zlib";

const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);

/** Remainders of the check sum for one byte. Source: png-3 annex D (polynomial 0xedb88320) */
const remainders = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb8_8320 : rest >>> 1;
  return rest >>> 0;
});

function checkSum(bytes: Uint8Array): number {
  let sum = 0xffff_ffff;
  for (const byte of bytes) sum = remainders[(sum ^ byte) & 0xff]! ^ (sum >>> 8);
  return (sum ^ 0xffff_ffff) >>> 0;
}

/** One PNG chunk with its length and check sum. Source: png-3 clause 5.3 */
function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const bytes = Buffer.alloc(body.length + 8);
  bytes.writeUInt32BE(data.length, 0);
  body.copy(bytes, 4);
  bytes.writeUInt32BE(checkSum(body), body.length + 4);
  return bytes;
}

/**
 * A tone table as a 16-bit grey picture one pixel high.
 * @param levels grey levels 0-255, not rounded
 * Source: png-3 clauses 5 and 11
 */
export function tablePng(levels: readonly number[]): Uint8Array {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(levels.length, 0);
  header.writeUInt32BE(1, 4);
  header.writeUInt8(16, 8);
  const row = Buffer.alloc(1 + 2 * levels.length);
  levels.forEach((level, index) => row.writeUInt16BE(Math.round(level * 257), 1 + 2 * index));
  return Buffer.concat([signature, chunk("IHDR", header), chunk("IDAT", deflateSync(row)), chunk("IEND", Buffer.alloc(0))]);
}
