// How many of a row of tones fall in order.

/** A tone known to lie between two values; something lying on part of a step leaves it open. */
export interface Tone {
  readonly low: number;
  readonly high: number;
}

/** Most tones that can be kept so that each is no higher than the one kept before it by more than the slack. */
export function longestFall(tones: readonly Tone[], slack: number): number {
  const best: { length: number; value: number }[] = [];
  let longest = 0;
  tones.forEach(({ low, high }, i) => {
    let here = { length: 1, value: high };
    for (let j = 0; j < i; j++) {
      const before = best[j]!;
      const value = Math.min(high, before.value + slack);
      if (value < low) continue;
      const length = before.length + 1;
      if (length > here.length || (length === here.length && value > here.value)) here = { length, value };
    }
    best.push(here);
    longest = Math.max(longest, here.length);
  });
  return longest;
}
