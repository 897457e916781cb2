// When a new test asks "what changed?": when a change explains the newest far better than scatter alone.
import { logSum } from "#shared/statistics/log-sum.ts";
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import type { LevelTest, Scatter } from "./one-combination.ts";
import { unnotedSpread } from "./unnoted-changes.ts";

/**
 * Scatters of prints that are weighed where nothing of the studio's is known [log10], with and without a change alike:
 * any from 0.01 to 0.05 alike likely by its logarithm, and one studio in 200 with more. So the rule asks rarely at each
 * of them, most often at 0.05. common practice, no source
 */
const calmest = 0.01;
const usualPlaces = 15;
const unknownScatters = [
  ...Array.from({ length: usualPlaces }, (_, i) => ({
    print: calmest * 5 ** (i / (usualPlaces - 1)),
    share: 0.995 / usualPlaces,
  })),
  ...[0.055, 0.065, 0.08, 0.1].map((print) => ({ print, share: 0.005 / 4 })),
];
/**
 * By how many of the newest tests are held against those before: natural logarithm of how much better a change must
 * explain them. Chosen on invented streams so that 4 in 100 cry wolf within twenty tests where prints scatter by 0.05,
 * fewer where they scatter less.
 */
const leastLogRatios = [4.6, 6.1, 5.1];
/** The same where the rest of the studio tells how prints scatter: then the chance is what it says. */
const leastChancesOfKnown = [2.2e-3, 1e-3, 2.2e-3];
const knownPlaces = Array.from({ length: 21 }, (_, i) => -3 + 0.3 * i);
const fewestBefore = 3;
/** Of fewer tests before than these each one that lacks asks for 1 more: they tell little of the scatter. */
const enoughBefore = 6;

/**
 * Whether the newest test, or the newest two or three together, ask what changed.
 * @param tests of one combination, oldest first
 * @param studio scatter of prints that the rest of the studio shows; null where it shows none
 * Source: HoetingEtAl1999 (weighing over the scatter); the limits are judgement.
 */
export function isNewestOutOfLine(tests: readonly LevelTest[], studio: Scatter | null = null): boolean {
  return leastLogRatios.some((least, i) => {
    const newest = i + 1;
    const before = tests.length - newest;
    if (before < fewestBefore) return false;
    if (studio !== null) return chanceOfNewest(tests, newest, studio) < leastChancesOfKnown[i]!;
    return logRatioOfChange(tests, newest) > least + Math.max(0, enoughBefore - before);
  });
}

/**
 * How much better the tests are explained by a change before so many of the newest ones, of the size that such changes
 * have, than by none [natural logarithm]: both weighed over the scatter.
 */
function logRatioOfChange(tests: readonly LevelTest[], newest: number): number {
  const worlds = unknownScatters.map(({ print, share }) => {
    const { difference, variance, logLikelihood } = twoLevels(tests, newest, print);
    const logWeight = Math.log(share) + logLikelihood;
    return {
      without: logWeight + logNormal(difference, variance),
      withIt: logWeight + logNormal(difference, variance + unnotedSpread ** 2),
    };
  });
  return logSum(worlds.map(({ withIt }) => withIt)) - logSum(worlds.map(({ without }) => without));
}

/** Natural logarithm of a normal density about 0, up to a constant. */
function logNormal(at: number, variance: number): number {
  return -(Math.log(variance) + at ** 2 / variance) / 2;
}

/**
 * Chance that so many of the newest tests lie so far from those before, either way, by scatter alone: normal
 * distributions, weighed over what the tests let the scatter be.
 */
function chanceOfNewest(tests: readonly LevelTest[], newest: number, { median, logSigma }: Scatter): number {
  const worlds = knownPlaces.map((place) => {
    const { difference, variance, logLikelihood } = twoLevels(tests, newest, median * Math.exp(logSigma * place));
    return {
      logWeight: logLikelihood - place ** 2 / 2,
      chance: 2 * normalShareBelow(-Math.abs(difference) / Math.sqrt(variance)),
    };
  });
  const total = logSum(worlds.map(({ logWeight }) => logWeight));
  return worlds.reduce((sum, { logWeight, chance }) => sum + Math.exp(logWeight - total) * chance, 0);
}

/** The newest tests less those before where prints scatter so, with its variance, and how well each group agrees. */
function twoLevels(
  tests: readonly LevelTest[],
  newest: number,
  print: number,
): { readonly difference: number; readonly variance: number; readonly logLikelihood: number } {
  const [old, fresh] = [levelOf(tests.slice(0, -newest), print), levelOf(tests.slice(-newest), print)];
  return {
    difference: fresh.mean - old.mean,
    variance: old.variance + fresh.variance,
    logLikelihood: old.logLikelihood + fresh.logLikelihood,
  };
}

/** Level of some tests where prints scatter so, with what its unknown value leaves of their likelihood. */
function levelOf(
  tests: readonly LevelTest[],
  print: number,
): { readonly mean: number; readonly variance: number; readonly logLikelihood: number } {
  let [weights, sum, logLikelihood] = [0, 0, 0];
  for (const { logSeconds, sigma } of tests) {
    const weight = 1 / (sigma ** 2 + print ** 2);
    weights += weight;
    sum += weight * logSeconds;
    logLikelihood += Math.log(weight) / 2;
  }
  const mean = sum / weights;
  for (const { logSeconds, sigma } of tests) logLikelihood -= (logSeconds - mean) ** 2 / (sigma ** 2 + print ** 2) / 2;
  return { mean, variance: 1 / weights, logLikelihood: logLikelihood - Math.log(weights) / 2 };
}
