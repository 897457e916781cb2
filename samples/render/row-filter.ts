// A separable blur that needs only a few rows at a time, so that large pictures stay cheap in memory.

/** Gives row `y` (0 to height-1, asked for in rising order) as interleaved triples. */
export type RowSource = (y: number) => Float32Array;

function gaussianKernel(sigmaPx: number): Float32Array {
  const reach = Math.max(1, Math.ceil(2.6 * sigmaPx));
  const kernel = Float32Array.from({ length: 2 * reach + 1 }, (_, index) =>
    Math.exp(-((index - reach) ** 2) / (2 * sigmaPx * sigmaPx)),
  );
  const sum = kernel.reduce((total, weight) => total + weight, 0);
  return kernel.map((weight) => weight / sum);
}

/**
 * Rows blurred both ways and, with an amount above 0, sharpened instead: original + amount * (original - blurred).
 * The row that is handed out is overwritten by the next call.
 */
export function filteredRows(
  source: RowSource,
  width: number,
  height: number,
  sigmaPx: number,
  sharpenAmount = 0,
): RowSource {
  if (sigmaPx < 0.2) return source;
  const kernel = gaussianKernel(sigmaPx);
  const reach = (kernel.length - 1) / 2;
  const length = width * 3;
  const slots = kernel.length;
  const originals = Array.from({ length: slots }, () => new Float32Array(length));
  const across = Array.from({ length: slots }, () => new Float32Array(length));
  const padded = new Float32Array(length + 6 * reach);
  const out = new Float32Array(length);
  let made = -1;
  const make = (y: number): void => {
    const row = source(y);
    originals[y % slots]!.set(row);
    padded.set(row, 3 * reach);
    for (let pad = 0; pad < reach; pad++) {
      for (let channel = 0; channel < 3; channel++) {
        padded[pad * 3 + channel] = row[channel]!;
        padded[(reach + width + pad) * 3 + channel] = row[length - 3 + channel]!;
      }
    }
    const target = across[y % slots]!;
    target.fill(0);
    for (let tap = 0; tap < slots; tap++) {
      const weight = kernel[tap]!;
      const from = tap * 3;
      for (let index = 0; index < length; index++) target[index]! += weight * padded[from + index]!;
    }
  };
  return (y) => {
    while (made < Math.min(height - 1, y + reach)) make(++made);
    out.fill(0);
    for (let tap = 0; tap < slots; tap++) {
      const row = across[Math.min(height - 1, Math.max(0, y + tap - reach)) % slots]!;
      const weight = kernel[tap]!;
      for (let index = 0; index < length; index++) out[index]! += weight * row[index]!;
    }
    if (sharpenAmount > 0) {
      const original = originals[y % slots]!;
      for (let index = 0; index < length; index++)
        out[index] = original[index]! + sharpenAmount * (original[index]! - out[index]!);
    }
    return out;
  };
}
