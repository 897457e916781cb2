// Chance that repeats: everything random in the renderer comes from one seed.

export interface Random {
  /** Evenly spread over 0 to 1, 1 excluded. */
  next(): number;
  between(low: number, high: number): number;
  /** Whole number from low to high, both included. */
  whole(low: number, high: number): number;
  chance(share: number): boolean;
  pick<Item>(items: readonly Item[]): Item;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
}

/**
 * A generator that gives the same numbers for the same seed on every machine (32-bit mixing of a counter; from memory).
 */
export function seededRandom(seed: number): Random {
  let state = (Math.trunc(seed) ^ 0x9e3779b9) >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  const between = (low: number, high: number): number => low + (high - low) * next();
  return {
    next,
    between,
    whole: (low, high) => Math.min(high, low + Math.floor((high - low + 1) * next())),
    chance: (share) => next() < share,
    pick: (items) => {
      const item = items[Math.floor(next() * items.length)];
      if (item === undefined) throw new RangeError("nothing to pick from");
      return item;
    },
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}

/** 65,536 normal numbers to draw from by index: far quicker than new ones for millions of pixels. */
export function normalTable(random: Random): Float32Array {
  return Float32Array.from({ length: 65_536 }, () => random.normal());
}
