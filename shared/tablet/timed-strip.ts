// Strips uncovered in steps, for people without a film tablet.

/**
 * Total seconds of each step when the given times are the waits between one uncovering (or covering) and the next.
 * @param waits seconds, first wait first: the part under the light from the start receives all of them
 * @returns totals, longest first, as many as waits
 * @example
 * totalsFromWaits([60, 30, 30]) // => [120, 60, 30]
 */
export function totalsFromWaits(waits: readonly number[]): number[] {
  const totals: number[] = [];
  let total = 0;
  for (let i = waits.length - 1; i >= 0; i--) {
    total += waits[i]!;
    totals.unshift(total);
  }
  return totals;
}

/**
 * Waits between the moves that give the wanted totals.
 * @param totals seconds, longest first
 * @throws RangeError when the totals do not fall
 * @example
 * waitsFromTotals([120, 60, 30]) // => [60, 30, 30]
 */
export function waitsFromTotals(totals: readonly number[]): number[] {
  return totals.map((total, i) => {
    const wait = total - (totals[i + 1] ?? 0);
    if (!(wait > 0))
      throw new RangeError(`the times of a strip must fall: ${total} s is followed by ${totals[i + 1]} s`);
    return wait;
  });
}

/**
 * Times of a strip whose steps stand one stop (or a part of it) apart, longest first.
 * @param longestSeconds total of the longest step [s]
 * @param stops distance of neighbouring steps in stops: 1 doubles, 0.5 is twice as fine
 * @returns seconds, rounded to a tenth below ten seconds and to whole seconds above
 * Source: common practice, no source.
 * @example
 * doublingSeries({ longestSeconds: 640, steps: 4, stops: 1 }) // => [640, 320, 160, 80]
 */
export function doublingSeries({
  longestSeconds,
  steps,
  stops,
}: {
  longestSeconds: number;
  steps: number;
  stops: number;
}): number[] {
  return Array.from({ length: steps }, (_, i) => {
    const seconds = longestSeconds / 2 ** (i * stops);
    return seconds < 10 ? Math.max(0.1, Math.round(seconds * 10) / 10) : Math.round(seconds);
  });
}
