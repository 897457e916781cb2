// How far lamps, papers, coatings and prints usually differ: what is thought before any test, and the worlds that are
// weighed.

import { usualPrintScatter } from "./usual-print-scatter.ts";

/** Standard deviations [log10 of seconds] of one plausible world. */
export interface Spreads {
  /** From print to print made alike: brushing, paper, humidity, washing. */
  readonly print: number;
  /** What a lamp and a coating add together beyond their parts; lamp and support, support and coating a share of it. */
  readonly pair: number;
  /** Of lamps, supports and coatings, as a multiple of what is usual. */
  readonly reach: number;
}

/** What one unknown is; its spread follows from it. */
export type UnknownKind = "level" | "lamp" | "support" | "coating" | "pair" | "lesser-pair" | "combination" | "fixed";

/** Blue prints under lamps take from half a minute to some hours. common practice, no source */
export const usualLogSeconds = { mean: 2.6, sigma: 0.8 };
/** Lamps differ by factors, supports and coatings by fractions of a stop to a stop. common practice, no source */
const usualReach = { lamp: 0.3, support: 0.12, coating: 0.12 };
/**
 * A lamp's light and a coating's absorption meet in one product; a paper meets either less directly: this share.
 * common practice, no source
 */
const lesserPairShare = 0.6;
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
    case "lesser-pair":
      return lesserPairShare * pair;
    case "combination":
      return combinationShare * pair;
  }
}

/** Medians and logarithmic spreads of what is not known. common practice, no source */
const prior = {
  print: { median: usualPrintScatter.medianLogH, logSigma: usualPrintScatter.logSigma },
  pair: { median: 0.055, logSigma: 0.8 },
  reach: { median: 1, logSigma: 0.5 },
};

/** A world by its place: how many logarithmic spreads each quantity lies from its median. */
export interface Place {
  readonly print: number;
  readonly pair: number;
  readonly reach: number;
}

/**
 * Where tests tell nothing of pairs, the usual ones are somewhat wider than the median, since the spread itself is not
 * known.
 */
export const usualPlace: Place = { print: 0, pair: 0.3, reach: 0 };

/** Standard deviations of the world at a place. */
export function spreadsAt(place: Place): Spreads {
  const at = (name: keyof Place): number => prior[name].median * Math.exp(prior[name].logSigma * place[name]);
  return { print: at("print"), pair: at("pair"), reach: at("reach") };
}

/** Natural logarithm of a place's weight beforehand. */
export function logPriorAt({ print, pair, reach }: Place): number {
  return -(print ** 2 + pair ** 2 + reach ** 2) / 2;
}
