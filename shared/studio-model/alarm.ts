// When a new test asks "what changed?": when scatter alone would hardly bring the newest so far from those before.
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import type { LevelTest, Scatter } from "./one-combination.ts";

/**
 * Scatters of prints that are weighed where nothing of the studio's is known [log10]. Narrower than what studios differ
 * by, so that a few tests that happen to agree do not pass for a calm studio. common practice, no source
 */
const unknownScatter: Scatter = { median: 0.026, logSigma: 0.4 };
const scatterPlaces = Array.from({ length: 21 }, (_, i) => -3 + 0.3 * i);
/**
 * By how many of the newest tests are held against those before: the chance below which they ask. Chosen on invented
 * streams so that fewer than one in twenty cries wolf within twenty tests, where prints scatter most, by 0.05.
 */
const leastChances = [4.3e-4, 1.7e-4, 2.7e-4];
/** These hold at this scatter; a calmer studio can afford to ask sooner. */
const usualAlarmScatter = 0.03;
/** The same where the rest of the studio tells how prints scatter: then the chance is what it says. */
const leastChancesOfKnown = [2.2e-3, 1e-3, 2.2e-3];
const fewestBefore = 3;
/** Of fewer tests before than these each one that lacks halves the chance: they tell little of the scatter. */
const enoughBefore = 6;

/**
 * Whether the newest test, or the newest two or three together, ask what changed.
 * @param tests of one combination, oldest first
 * @param studio scatter of prints that the rest of the studio shows; null where it shows none
 * Source: HoetingEtAl1999 (weighing over the scatter); the chances are judgement.
 */
export function isNewestOutOfLine(tests: readonly LevelTest[], studio: Scatter | null = null): boolean {
  return leastChances.some((_, i) => {
    const newest = i + 1;
    const before = tests.length - newest;
    if (before < fewestBefore) return false;
    const { chance, scatter } = chanceOfNewest(tests, newest, studio ?? unknownScatter);
    if (studio !== null) return chance < leastChancesOfKnown[i]!;
    return chance < (leastChances[i]! * usualAlarmScatter * 0.5 ** Math.max(0, enoughBefore - before)) / scatter;
  });
}

/**
 * Chance that so many of the newest tests lie so far from those before, either way, by scatter alone: normal
 * distributions, weighed over what the tests let the scatter be. With it the middle of these scatters [log10].
 */
function chanceOfNewest(
  tests: readonly LevelTest[],
  newest: number,
  { median, logSigma }: Scatter,
): { readonly chance: number; readonly scatter: number } {
  const [before, after] = [tests.slice(0, -newest), tests.slice(-newest)];
  const worlds = scatterPlaces.map((place) => {
    const print = median * Math.exp(logSigma * place);
    const [old, fresh] = [levelOf(before, print), levelOf(after, print)];
    const sigma = Math.sqrt(old.variance + fresh.variance);
    return {
      print,
      logWeight: old.logLikelihood + fresh.logLikelihood - place ** 2 / 2,
      chance: 2 * normalShareBelow(-Math.abs(fresh.mean - old.mean) / sigma),
    };
  });
  const most = Math.max(...worlds.map(({ logWeight }) => logWeight));
  let [total, chance, logScatter] = [0, 0, 0];
  for (const world of worlds) {
    const weight = Math.exp(world.logWeight - most);
    total += weight;
    chance += weight * world.chance;
    logScatter += weight * Math.log(world.print);
  }
  return { chance: chance / total, scatter: Math.exp(logScatter / total) };
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
