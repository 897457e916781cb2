// Changes the size of a grey picture row by row, so that only a few rows are held at a time.

/** Lobes of the Lanczos kernel on each side. */
const lobes = 3;

/** For each position of the new grid: first old position and the weights of those that follow. */
export interface ResamplingTaps {
  readonly first: Int32Array;
  readonly count: number;
  /** `count` weights for each position, summing to 1. */
  readonly weights: Float32Array;
}

/** Windowed sinc. Source: duchon-1979 */
function lanczos(x: number): number {
  if (x === 0) return 1;
  if (Math.abs(x) >= lobes) return 0;
  const p = Math.PI * x;
  return (lobes * Math.sin(p) * Math.sin(p / lobes)) / (p * p);
}

/**
 * Taps of a Lanczos-3 resampling, widened when the picture becomes smaller. Taps beyond the edge fall on the edge.
 * @param from old positions that the new ones span: start and length, fractions allowed, within 0 to `size`
 * @param part positions start to start + length of `to` new ones
 */
export function resamplingTaps({
  size,
  from,
  to,
  part,
}: {
  size: number;
  from: { start: number; length: number };
  to: number;
  part: { start: number; length: number };
}): ResamplingTaps {
  const scale = from.length / to;
  const widening = Math.max(1, scale);
  const count = Math.min(size, scale === 1 && Number.isInteger(from.start) ? 1 : 2 * Math.ceil(lobes * widening));
  const first = new Int32Array(part.length);
  const weights = new Float32Array(part.length * count);
  for (let index = 0; index < part.length; index++) {
    const centre = from.start + (part.start + index + 0.5) * scale - 0.5;
    const lowest = count === 1 ? Math.round(centre) : Math.floor(centre - lobes * widening) + 1;
    const start = Math.min(size - count, Math.max(0, lowest));
    first[index] = start;
    let sum = 0;
    for (let tap = 0; tap < (count === 1 ? 1 : 2 * Math.ceil(lobes * widening)); tap++) {
      const weight = count === 1 ? 1 : lanczos((lowest + tap - centre) / widening);
      const place = Math.min(count - 1, Math.max(0, lowest + tap - start));
      weights[index * count + place]! += weight;
      sum += weight;
    }
    for (let tap = 0; tap < count; tap++) weights[index * count + tap]! /= sum;
  }
  return { first, count, weights };
}

/**
 * Gives the rows of the new picture one after the other.
 * @param rowAt an old row, 0-65535; asked for rising rows, each once
 */
export class RowResampler {
  readonly #across: ResamplingTaps;
  readonly #down: ResamplingTaps;
  readonly #rowAt: (y: number) => Uint16Array;
  /** The last rows, already resampled across; row y at y modulo their count. */
  readonly #held: Float32Array[];
  #nextRow = -1;

  constructor({
    across,
    down,
    rowAt,
  }: {
    across: ResamplingTaps;
    down: ResamplingTaps;
    rowAt: (y: number) => Uint16Array;
  }) {
    this.#across = across;
    this.#down = down;
    this.#rowAt = rowAt;
    this.#held = Array.from({ length: down.count }, () => new Float32Array(across.first.length));
  }

  /** Writes new row `index` into `out`, not rounded. Ask for rising rows. */
  row(index: number, out: Float32Array): void {
    const { first, count, weights } = this.#down;
    const start = first[index]!;
    if (this.#nextRow < start) this.#nextRow = start;
    for (; this.#nextRow < start + count; this.#nextRow++)
      acrossRow(this.#rowAt(this.#nextRow), this.#across, this.#held[this.#nextRow % count]!);
    const at = (tap: number) => this.#held[(start + tap) % count]!;
    const w = weights.subarray(index * count, (index + 1) * count);
    const width = out.length;
    if (count === 6) {
      const [a, b, c, d, e, f] = [at(0), at(1), at(2), at(3), at(4), at(5)];
      const [wa, wb, wc, wd, we, wf] = [w[0]!, w[1]!, w[2]!, w[3]!, w[4]!, w[5]!];
      for (let x = 0; x < width; x++)
        out[x] = wa * a[x]! + wb * b[x]! + wc * c[x]! + wd * d[x]! + we * e[x]! + wf * f[x]!;
      return;
    }
    out.set(at(0));
    if (count === 1) return;
    for (let x = 0; x < width; x++) out[x]! *= w[0]!;
    for (let tap = 1; tap < count; tap++) {
      const row = at(tap);
      const weight = w[tap]!;
      if (weight === 0) continue;
      for (let x = 0; x < width; x++) out[x]! += weight * row[x]!;
    }
  }
}

function acrossRow(row: Uint16Array, { first, count, weights }: ResamplingTaps, out: Float32Array): void {
  const width = out.length;
  if (count === 1) {
    for (let x = 0; x < width; x++) out[x] = row[first[x]!]!;
    return;
  }
  if (count === 6) {
    for (let x = 0, k = 0; x < width; x++, k += 6) {
      const at = first[x]!;
      out[x] =
        weights[k]! * row[at]! +
        weights[k + 1]! * row[at + 1]! +
        weights[k + 2]! * row[at + 2]! +
        weights[k + 3]! * row[at + 3]! +
        weights[k + 4]! * row[at + 4]! +
        weights[k + 5]! * row[at + 5]!;
    }
    return;
  }
  for (let x = 0; x < width; x++) {
    const at = first[x]!;
    let sum = 0;
    for (let tap = 0, k = x * count; tap < count; tap++, k++) sum += weights[k]! * row[at + tap]!;
    out[x] = sum;
  }
}
