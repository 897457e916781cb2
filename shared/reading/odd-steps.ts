// Steps whose tone fits none of their neighbours: something lies on them.

/**
 * A step further than this outside its neighbours' tones (density) is not part of the scale.
 * Source: common practice, no source.
 */
const oddDensity = 0.06;

/**
 * Indices (from 0) of steps whose density lies outside that of the two steps before and after by more than noise.
 * A scale that turns round slowly (reversal) passes, since its steps lie between their neighbours. An end step has
 * neighbours on one side only, and is odd when it jumps by far more than they do.
 * @param densities in order along the strip
 * @param sigmas standard uncertainties
 */
export function oddSteps(densities: readonly number[], sigmas: readonly number[]): number[] {
  const odd: number[] = [];
  densities.forEach((density, i) => {
    if (i === 0 || i === densities.length - 1) {
      if (isOddEnd(densities, i, Math.max(oddDensity, 5 * sigmas[i]!))) odd.push(i);
      return;
    }
    const beside = [i - 2, i - 1, i + 1, i + 2]
      .filter((j) => j >= 0 && j < densities.length)
      .map((j) => densities[j]!)
      .sort((a, b) => a - b);
    if (beside.length < 3) return;
    // Beside an end the range is narrow: what lies between its own two neighbours belongs there.
    const [previous, next] = [densities[i - 1]!, densities[i + 1]!];
    if (beside.length === 3 && density >= Math.min(previous, next) && density <= Math.max(previous, next)) return;
    // One odd neighbour must not widen the range: at least two have to lie beyond.
    const [low, high] = [beside[0]!, beside.at(-1)!];
    const inner = beside.length === 4 ? [beside[1]!, beside[2]!] : [beside[1]!, beside[1]!];
    const slack = Math.max(oddDensity, 5 * sigmas[i]!);
    const spread = inner[1]! - inner[0]!;
    const reachLow = Math.max(low, inner[0]! - 2 * Math.max(spread, oddDensity));
    const reachHigh = Math.min(high, inner[1]! + 2 * Math.max(spread, oddDensity));
    if (density < reachLow - slack || density > reachHigh + slack) odd.push(i);
  });
  return odd;
}

/**
 * An end step may differ from its neighbour by this many times as much as that one does from the next: a scale bends,
 * but not so sharply.
 */
const mostEndBend = 3;

/** Whether the first or last step jumps where the scale behind it runs evenly. */
function isOddEnd(densities: readonly number[], end: number, slack: number): boolean {
  const inward = end === 0 ? 1 : -1;
  const [first, second, third, fourth] = [0, 1, 2, 3].map((k) => densities[end + k * inward]);
  if (fourth === undefined) return false;
  const run = Math.max(Math.abs(second! - third!), Math.abs(third! - fourth));
  return Math.abs(first! - second!) > mostEndBend * run + slack;
}
