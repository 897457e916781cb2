// Local sharpening row by row: each pixel moves away from the mean of its surroundings.
import { mmPerInch } from "#shared/units/inch.ts";

/** Reach of the surroundings on the print [mm]: detail that is seen at reading distance. common practice, no source */
const reachMm = 0.25;
const mostReachPx = 8;

/** Pixels to each side that count as surroundings. */
export function sharpeningReachPx(dpi: number): number {
  return Math.min(mostReachPx, Math.max(1, Math.round((reachMm * dpi) / mmPerInch)));
}

/**
 * Gives sharpened rows of a picture whose rows come one after the other.
 * @param amount 0-1; 1 doubles the difference to the surroundings
 * @param readRow writes row `y` of the picture; asked for rising rows, each once
 */
export function sharpenedRows({
  width,
  height,
  dpi,
  amount,
  readRow,
}: {
  width: number;
  height: number;
  dpi: number;
  amount: number;
  readRow: (y: number, out: Float32Array) => void;
}): (y: number, out: Float32Array) => void {
  if (amount <= 0) return readRow;
  const reach = sharpeningReachPx(dpi);
  const count = 2 * reach + 1;
  // Triangular weights, once for both directions.
  const weights = Float32Array.from(
    { length: count },
    (_, index) => (reach + 1 - Math.abs(index - reach)) / (reach + 1) ** 2,
  );
  const rows = Array.from({ length: count }, () => new Float32Array(width));
  const softened = Array.from({ length: count }, () => new Float32Array(width));
  const mean = new Float32Array(width);
  let next = 0;
  const take = () => {
    const row = rows[next % count]!;
    readRow(next, row);
    soften(row, softened[next % count]!, weights, reach);
    next++;
  };
  return (y, out) => {
    while (next < height && next <= y + reach) take();
    mean.fill(0);
    for (let offset = -reach; offset <= reach; offset++) {
      const from = softened[Math.min(height - 1, Math.max(0, y + offset)) % count]!;
      const weight = weights[offset + reach]!;
      for (let x = 0; x < width; x++) mean[x]! += weight * from[x]!;
    }
    const row = rows[y % count]!;
    for (let x = 0; x < width; x++) out[x] = row[x]! + amount * (row[x]! - mean[x]!);
  };
}

function soften(row: Float32Array, out: Float32Array, weights: Float32Array, reach: number): void {
  const last = row.length - 1;
  for (let x = 0; x <= last; x++) {
    let sum = 0;
    if (x >= reach && x <= last - reach)
      for (let k = 0, at = x - reach; k < weights.length; k++, at++) sum += weights[k]! * row[at]!;
    else for (let k = 0; k < weights.length; k++) sum += weights[k]! * row[Math.min(last, Math.max(0, x - reach + k))]!;
    out[x] = sum;
  }
}
