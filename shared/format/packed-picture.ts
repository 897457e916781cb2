// A picture with its rows filtered and deflated: what PNG and PDF both hold, so that each only wraps it.
import { pngCheckSum } from "./png-chunk.ts";

/** One portion of the deflated rows. */
export interface PackedPart {
  readonly data: Uint8Array;
  /** Check sum of the PNG chunk that holds it, reckoned where it was packed: it takes as long as copying. */
  readonly checkSum: number;
}

/**
 * Rows from the top, each behind its filter's number, in one zlib stream.
 * Source: png-3 clauses 9 and 10, iso-32000-1 clause 7.4.4.4
 */
export interface PackedPicture {
  /** Pixels. */
  readonly width: number;
  readonly height: number;
  readonly bits: 8 | 16;
  /** Grey, or red, green and blue. */
  readonly channels: 1 | 3;
  /** The stream, in order. */
  readonly parts: readonly PackedPart[];
}

/** Name of the chunk that holds deflated rows. Source: png-3 clause 11.2.3 */
export const packedRowsChunk = "IDAT";

/** A portion of the stream, in memory of its own. */
export function packedPart(data: Uint8Array): PackedPart {
  return { data: new Uint8Array(data), checkSum: pngCheckSum(data, packedRowsChunk) };
}
