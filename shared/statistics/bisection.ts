// Where something turns, by halving the stretch that it turns in.

export interface Bracket {
  readonly low: number;
  readonly high: number;
  readonly middle: number;
}

/**
 * The narrow stretch in which `isBelow` turns from true to false.
 * @param search.low taken as below without asking; `search.high` as not below
 * @param search.isBelow true up to one place, false from there on
 * @param search.halvings most steps; each gives one binary digit
 * @param search.width stops as soon as the stretch is no wider, in the unit of low and high
 * @returns both ends and the middle of the last stretch; beside `low` or `high` when it does not turn between them
 * Source: from memory (halving the bracket).
 * @example
 * bisection({ low: 1, high: 2, isBelow: (x) => x * x < 2 }).middle // => 1.4142135623730951
 */
export function bisection({
  low: from,
  high: to,
  isBelow,
  halvings = 60,
  width = 0,
}: {
  low: number;
  high: number;
  isBelow: (at: number) => boolean;
  halvings?: number;
  width?: number;
}): Bracket {
  let low = from;
  let high = to;
  for (let halving = 0; halving < halvings && high - low > width; halving++) {
    const middle = (low + high) / 2;
    if (isBelow(middle)) low = middle;
    else high = middle;
  }
  return { low, high, middle: (low + high) / 2 };
}

/**
 * Index of the last value that lies below the given one, among values that never fall; 0 when none does. Never the last
 * index.
 */
export function lastIndexBelow(rising: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = rising.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (rising[middle]! < value) low = middle;
    else high = middle;
  }
  return low;
}
