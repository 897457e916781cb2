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
export function twoTonesOf(values: readonly number[], floor: number): TwoTones | null {
  const count = values.length;
  if (count < 6) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const sum = sorted.reduce((total, value) => total + value, 0);
  let best = { between: -1, split: 0 };
  let below = 0;
  for (let split = 1; split < count; split++) {
    below += sorted[split - 1]!;
    const between = (below / split - (sum - below) / (count - split)) ** 2 * split * (count - split);
    if (between > best.between) best = { between, split };
  }
  const groups = [sorted.slice(0, best.split), sorted.slice(best.split)] as const;
  const [low, high] = groups.map((group) => group.reduce((total, value) => total + value, 0) / group.length) as [
    number,
    number,
  ];
  const within = Math.sqrt(
    (groups[0].reduce((total, value) => total + (value - low) ** 2, 0) +
      groups[1].reduce((total, value) => total + (value - high) ** 2, 0)) /
      (count - 2),
  );
  return {
    separation: (high - low) / Math.max(within, floor),
    contrast: ((high - low) * count) / sum,
    rarerShare: Math.min(best.split, count - best.split) / count,
    tiles: count,
  };
}
