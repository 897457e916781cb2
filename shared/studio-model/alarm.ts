// When a new test asks "what changed?": when scatter alone would hardly bring the newest so far from those before.
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import type { LevelTest } from "./one-combination.ts";

/**
 * Scatters of prints that are weighed [log10]: median and logarithmic spread. Narrower than what studios differ by, so
 * that a few tests that happen to agree do not pass for a calm studio. common practice, no source
 */
const alarmScatter = { median: 0.026, logSigma: 0.5 };
const scatterPlaces = Array.from({ length: 21 }, (_, i) => -3 + 0.3 * i);
/**
 * By how many of the newest tests are held against those before: the chance below which they ask. Chosen on invented
 * streams so that one in twenty cries wolf within twenty tests where prints scatter most, by 0.05.
 */
const leastChances = [4.5e-4, 2.7e-4, 2.7e-4];
const fewestBefore = 2;

/**
 * Whether the newest test, or the newest two or three together, ask what changed.
 * @param tests of one combination, oldest first
 * Source: HoetingEtAl1999 (weighing over the scatter); the chances are judgement.
 */
export function isNewestOutOfLine(tests: readonly LevelTest[]): boolean {
  return leastChances.some((least, i) => tests.length - i - 1 >= fewestBefore && chanceOfNewest(tests, i + 1) < least);
}

/**
 * Chance that so many of the newest tests lie so far from those before, either way, by scatter alone: normal
 * distributions, weighed over what the tests let the scatter be.
 */
function chanceOfNewest(tests: readonly LevelTest[], newest: number): number {
  const [before, after] = [tests.slice(0, -newest), tests.slice(-newest)];
  const worlds = scatterPlaces.map((place) => {
    const print = alarmScatter.median * Math.exp(alarmScatter.logSigma * place);
    const [old, fresh] = [levelOf(before, print), levelOf(after, print)];
    const sigma = Math.sqrt(old.variance + fresh.variance);
    return {
      logWeight: old.logLikelihood + fresh.logLikelihood - place ** 2 / 2,
      chance: 2 * normalShareBelow(-Math.abs(fresh.mean - old.mean) / sigma),
    };
  });
  const most = Math.max(...worlds.map(({ logWeight }) => logWeight));
  let [total, chance] = [0, 0];
  for (const world of worlds) {
    const weight = Math.exp(world.logWeight - most);
    total += weight;
    chance += weight * world.chance;
  }
  return chance / total;
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
