// How far lamps, papers, coatings and prints usually differ: what is thought before any test, and the worlds that are weighed.

/** Standard deviations [log10 of seconds] of one plausible world. */
export interface Spreads {
  /** From print to print made alike: brushing, paper, humidity, washing. */
  readonly print: number;
  /** What a pair (lamp and coating, lamp and support, support and coating) adds beyond its two parts. */
  readonly pair: number;
  /** Of lamps, supports and coatings, as a multiple of what is usual. */
  readonly reach: number;
}

/** What one unknown is; its spread follows from it. */
export type UnknownKind = "level" | "lamp" | "support" | "coating" | "pair" | "combination" | "fixed";

/** Blue prints under lamps take from half a minute to some hours. common practice, no source */
export const usualLogSeconds = { mean: 2.6, sigma: 0.8 };
/** Lamps differ by factors, supports and coatings by fractions of a stop to a stop. common practice, no source */
const usualReach = { lamp: 0.3, support: 0.12, coating: 0.12 };
/** A combination of three adds less than its pairs do: this share. common practice, no source */
const combinationShare = 0.4;

/** Standard deviation of an unknown before anything was seen [log10]. */
export function spreadOf(kind: Exclude<UnknownKind, "fixed">, { pair, reach }: Spreads): number {
  switch (kind) {
    case "level":
      return usualLogSeconds.sigma;
    case "lamp":
    case "support":
    case "coating":
      return reach * usualReach[kind];
    case "pair":
      return pair;
    case "combination":
      return combinationShare * pair;
  }
}

/** Medians and logarithmic spreads of what is not known. common practice, no source */
const prior = {
  print: { median: 0.026, logSigma: 0.8 },
  pair: { median: 0.05, logSigma: 0.8 },
  reach: { median: 1, logSigma: 0.5 },
};

export interface World {
  readonly spreads: Spreads;
  /** Natural logarithm of its weight beforehand. */
  readonly logPrior: number;
}

/** Points of a quantity known by median and logarithmic spread, evenly over so many standard deviations to each side. */
function gridOf({ median, logSigma }: { median: number; logSigma: number }, z: readonly number[]): [number, number][] {
  return z.map((each) => [median * Math.exp(logSigma * each), (-each * each) / 2]);
}

/**
 * Worlds that are weighed against each other. Where the tests cannot tell two of them apart, the usual one stands.
 * @param hasPairs two combinations that share something were seen
 * @param hasReach enough lamps, supports or coatings were seen to tell how they differ
 */
export function worldsFor({ hasPairs, hasReach }: { hasPairs: boolean; hasReach: boolean }): World[] {
  const prints = gridOf(prior.print, [-2.2, -1.4, -0.6, 0.1, 0.8, 1.5, 2.2]);
  const pairs = gridOf(prior.pair, hasPairs ? [-1.2, -0.1, 0.8, 1.6] : [0.3]);
  const reaches = gridOf(prior.reach, hasReach ? [-0.6, 0.6] : [0]);
  return prints.flatMap(([print, a]) =>
    pairs.flatMap(([pair, b]) =>
      reaches.map(([reach, c]) => ({ spreads: { print, pair, reach }, logPrior: a + b + c })),
    ),
  );
}
