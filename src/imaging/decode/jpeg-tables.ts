// What a JPEG file tells about how hard it was compressed: its quantisation tables.

export interface JpegTables {
  /** Step of the mean (DC) of brightness and of colour difference, in codes times eight. */
  readonly lumaDc: number;
  readonly chromaDc: number;
  /** Mean of the brightness table: about 3 for the best cameras, 20 and more after a messenger. */
  readonly lumaMean: number;
}

const startOfScan = 0xda;
const defineTables = 0xdb;

/** The quantisation tables of a JPEG file; null when none is found before the picture's data. */
export function jpegTables(bytes: Uint8Array): JpegTables | null {
  const tables = new Map<number, number[]>();
  let at = 2;
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === startOfScan) break;
    const length = (bytes[at + 2]! << 8) | bytes[at + 3]!;
    if (length < 2) break;
    if (marker === defineTables) {
      let p = at + 4;
      const end = Math.min(bytes.length, at + 2 + length);
      while (p < end) {
        const wide = bytes[p]! >> 4 === 1;
        const id = bytes[p]! & 15;
        p++;
        if (p + 64 * (wide ? 2 : 1) > end) break;
        const values = Array.from({ length: 64 }, (_, i) =>
          wide ? (bytes[p + 2 * i]! << 8) | bytes[p + 2 * i + 1]! : bytes[p + i]!,
        );
        tables.set(id, values);
        p += 64 * (wide ? 2 : 1);
      }
    }
    at += 2 + length;
  }
  const luma = tables.get(0);
  if (luma === undefined) return null;
  const chroma = tables.get(1) ?? luma;
  return { lumaDc: luma[0]!, chromaDc: chroma[0]!, lumaMean: luma.reduce((sum, value) => sum + value, 0) / 64 };
}

/**
 * Standard deviation, in codes, by which JPEG rounding may shift the red of a whole area of even colour. Decoders round
 * the colour difference to whole codes and red is brightness plus 1.402 of it.
 * Source: ITU-T T.871 (conversion); uniform rounding over one step has a deviation of a step over the root of 12
 */
export function redRoundingCodes(tables: JpegTables): number {
  return 1.402 * Math.sqrt((1 + (tables.chromaDc / 8) ** 2) / 12);
}
