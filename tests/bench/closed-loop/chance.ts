// Seeded chance for the simulated studio.

export interface Chance {
  /** Uniform, at least `low` and under `high`. */
  readonly between: (low: number, high: number) => number;
  /** Normal, mean 0. */
  readonly normal: (sigma: number) => number;
  readonly happens: (probability: number) => boolean;
  readonly oneOf: <T>(choices: readonly T[]) => T;
}

/** The same seed gives the same studio (a 32-bit counter put through an integer hash, from memory). */
export function chance(seed: number): Chance {
  let state = (Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995) >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
  return {
    between: (low, high) => low + (high - low) * next(),
    normal: (sigma) => sigma * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    happens: (probability) => next() < probability,
    oneOf: (choices) => choices[Math.floor(next() * choices.length)] as never,
  };
}
