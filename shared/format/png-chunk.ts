// The parts of a PNG file, for those who write one by hand.

/** First eight bytes of every PNG. Source: png-3 clause 5.2 */
export const pngSignature: readonly number[] = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

/** Remainders of the check sum for one byte. Source: png-3 annex D (polynomial 0xedb88320) */
const remainders = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb8_8320 : rest >>> 1;
  return rest >>> 0;
});

/**
 * Check sum of bytes behind a chunk's name, 32 bit; of the bytes alone when the name is empty.
 * Source: png-3 annex D
 */
export function pngCheckSum(bytes: Uint8Array, type = ""): number {
  let sum = 0xffff_ffff;
  const take = (byte: number): void => void (sum = remainders[(sum ^ byte) & 0xff]! ^ (sum >>> 8));
  for (let index = 0; index < type.length; index++) take(type.charCodeAt(index));
  for (let index = 0; index < bytes.length; index++) take(bytes[index]!);
  return (sum ^ 0xffff_ffff) >>> 0;
}

/**
 * One chunk with its length, name and check sum. Source: png-3 clause 5.3
 * @param checkSum of name and data, where it is known already
 */
export function pngChunk(type: string, data: Uint8Array, checkSum = pngCheckSum(data, type)): Uint8Array {
  const bytes = new Uint8Array(data.length + 12);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, data.length);
  for (let index = 0; index < 4; index++) bytes[4 + index] = type.charCodeAt(index);
  bytes.set(data, 8);
  view.setUint32(8 + data.length, checkSum);
  return bytes;
}

/** Header chunk of a grey picture, or of one in red, green and blue. Source: png-3 clause 11.2.1 */
export function pngHeader({
  width,
  height,
  bits,
  channels = 1,
}: {
  width: number;
  height: number;
  bits: 8 | 16;
  channels?: 1 | 3;
}): Uint8Array {
  const data = new Uint8Array(13);
  const view = new DataView(data.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  data[8] = bits;
  data[9] = channels === 3 ? 2 : 0;
  return pngChunk("IHDR", data);
}

/** Resolution chunk: whole pixels per metre, as the format asks. Source: png-3 clause 11.3.4.3 */
export function pngResolution(dpi: number): Uint8Array {
  const data = new Uint8Array(9);
  const view = new DataView(data.buffer);
  const perMetre = Math.round(dpi / 0.0254);
  view.setUint32(0, perMetre);
  view.setUint32(4, perMetre);
  data[8] = 1;
  return pngChunk("pHYs", data);
}
