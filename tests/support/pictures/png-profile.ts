// Puts an ICC profile into a PNG file without touching its numbers.
import { crc32, deflateSync } from "node:zlib";

/** PNG file with an iCCP chunk after its header chunk (PNG specification, clause 11.3.2.3). */
export function withProfileChunk(png: Buffer, profile: Buffer): Buffer {
  const headerEnd = 8 + 12 + 13;
  const body = Buffer.concat([Buffer.from("iCCPtest\0\0", "latin1"), deflateSync(profile)]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(body.length - 4);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(body));
  return Buffer.concat([png.subarray(0, headerEnd), length, body, check, png.subarray(headerEnd)]);
}
