// Seeded random numbers: the same seed gives the same numbers everywhere.

export interface Random {
  /** Evenly spread over [0, 1). */
  readonly uniform: () => number;
  /** Normal with mean 0 and standard deviation 1. */
  readonly normal: () => number;
}

/**
 * A generator of its own for each seed.
 * @param seed any whole number
 * Source: from memory (sfc32, 128-bit state, seeded by a 32-bit mix); normals by the polar method of Marsaglia1964.
 */
export function seededRandom(seed: number): Random {
  let a = 0x9e3779b9 ^ seed;
  let b = 0x243f6a88 ^ Math.floor(seed / 4294967296);
  let c = 0xb7e15162;
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 4294967296;
  };
  for (let i = 0; i < 15; i++) next();
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    for (;;) {
      const u = 2 * next() - 1;
      const v = 2 * next() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * factor;
      return u * factor;
    }
  };
  return { uniform: next, normal };
}
