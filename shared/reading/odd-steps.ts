// Steps whose tone fits none of their neighbours: something lies on them.

/** A step further than this outside its neighbours' tones (density) is not part of the scale. Source: common practice, no source. */
const oddDensity = 0.06;

/**
 * Indices (from 0) of steps whose density lies outside that of the two steps before and after by more than noise.
 * A scale that turns round slowly (reversal) passes, since its steps lie between their neighbours.
 * @param densities in order along the strip
 * @param sigmas standard uncertainties
 */
export function oddSteps(densities: readonly number[], sigmas: readonly number[]): number[] {
  const odd: number[] = [];
  densities.forEach((density, i) => {
    const beside = [i - 2, i - 1, i + 1, i + 2].filter((j) => j >= 0 && j < densities.length).map((j) => densities[j]!).sort((a, b) => a - b);
    if (beside.length < 3) return;
    // One odd neighbour must not widen the range: at least two have to lie beyond.
    const [low, high] = [beside[0]!, beside.at(-1)!];
    const inner = beside.length === 4 ? [beside[1]!, beside[2]!] : [beside[1]!, beside[1]!];
    const slack = Math.max(oddDensity, 5 * sigmas[i]!);
    const spread = inner[1]! - inner[0]!;
    const reachLow = Math.max(low, inner[0]! - 2 * Math.max(spread, oddDensity));
    const reachHigh = Math.min(high, inner[1]! + 2 * Math.max(spread, oddDensity));
    if (i > 0 && i < densities.length - 1 && (density < reachLow - slack || density > reachHigh + slack)) odd.push(i);
  });
  return odd;
}
