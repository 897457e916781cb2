// Whether the tiles of one cell show two tones side by side: a sticker, a stain or the step next door covers part of
// it.

export interface TwoTones {
  /**
   * Distance of the two tones in standard deviations within them: 2.6 for normal noise, 3.5 for an even slope, far more
   * across an edge.
   */
  readonly separation: number;
  /** That distance as a share of the mean. */
  readonly contrast: number;
  /** Share of the tiles that show the rarer tone. */
  readonly rarerShare: number;
  readonly tiles: number;
}

/**
 * The two groups of tiles that differ most.
 * @param values mean light of each tile, any order, more than 0
 * @param floor spread that rounding alone may make [same unit]
 * @returns null with fewer than six tiles
 * Source: Otsu1979 (the split with the greatest variance between groups)
 */
export function twoTonesOf(values: ArrayLike<number>, floor: number): TwoTones | null {
  const count = values.length;
  if (count < 6) return null;
  const sorted = new Float64Array(values).sort();
  const sum = sumOf(sorted, 0, count);
  let best = { between: -1, split: 0 };
  let below = 0;
  for (let split = 1; split < count; split++) {
    below += sorted[split - 1]!;
    const apart = below / split - (sum - below) / (count - split);
    const between = apart * apart * split * (count - split);
    if (between > best.between) best = { between, split };
  }
  const { split } = best;
  const low = sumOf(sorted, 0, split) / split;
  const high = sumOf(sorted, split, count) / (count - split);
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (sorted[i]! - (i < split ? low : high)) ** 2;
  const within = Math.sqrt(squares / (count - 2));
  return {
    separation: (high - low) / Math.max(within, floor),
    contrast: ((high - low) * count) / sum,
    rarerShare: Math.min(split, count - split) / count,
    tiles: count,
  };
}

function sumOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i]!;
  return sum;
}
