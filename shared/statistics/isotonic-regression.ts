/**
 * Never-falling values closest to the given ones in weighted least squares, by pooling adjacent violators.
 * @param values in the order in which they must not fall
 * @param weights positive; all 1 when absent
 * @returns as many values, never falling
 * Source: Barlow1972 (pool-adjacent-violators algorithm).
 * @example
 * isotonicRegression([1, 3, 2, 4]) // => [1, 2.5, 2.5, 4]
 */
export function isotonicRegression(values: readonly number[], weights?: readonly number[]): number[] {
  const blocks: { mean: number; weight: number; count: number }[] = [];
  values.forEach((value, i) => {
    let block = { mean: value, weight: weights?.[i] ?? 1, count: 1 };
    while (blocks.length > 0 && blocks[blocks.length - 1]!.mean >= block.mean) {
      const before = blocks.pop()!;
      const weight = before.weight + block.weight;
      block = {
        mean: (before.mean * before.weight + block.mean * block.weight) / weight,
        weight,
        count: before.count + block.count,
      };
    }
    blocks.push(block);
  });
  return blocks.flatMap(({ mean, count }) => new Array<number>(count).fill(mean));
}
