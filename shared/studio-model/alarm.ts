// When a new test asks "what changed?": when a change explains the newest far better than scatter alone.
import { logSum } from "#shared/statistics/log-sum.ts";
import type { LevelTest, Scatter } from "./one-combination.ts";
import { unnotedSpread } from "./unnoted-changes.ts";

/**
 * Scatters of prints that are weighed where nothing of the studio's is known [log10], with and without a change alike:
 * any from 0.01 to 0.05 alike likely by its logarithm, and one studio in 200 with more. So the rule asks rarely at each
 * of them. common practice, no source
 */
const calmest = 0.01;
const usualPlaces = 15;
const unknownScatters: readonly Weighed[] = [
  ...Array.from({ length: usualPlaces }, (_, i) => ({
    print: calmest * 5 ** (i / (usualPlaces - 1)),
    share: 0.995 / usualPlaces,
  })),
  ...[0.055, 0.065, 0.08, 0.1].map((print) => ({ print, share: 0.005 / 4 })),
];
/**
 * By how many of the newest tests are held against those before: natural logarithm of how much better a change must
 * explain them. With what is added below, chosen on invented streams so that about 5 in 100 at most cry wolf within
 * twenty tests, whether prints scatter by 0.01 or 0.05, normally or with heavy tails: where nothing is known of the
 * scatter, and where the rest of the studio tells it.
 */
const leastLogRatios = { unknown: [4.2, 6.6, 5.1], told: [2.6, 4.3, 3] } as const;
/**
 * A single newest test may be a stray one, of which real prints have more than the normal curve says. So it has to
 * stand out more by as many times this as the tests before scatter wider than usual (natural logarithm) ...
 */
const perWiderScatter = 20;
/** Standard deviation of tests about their mean [log10]. */
const usualScatter = 0.03;
/**
 * ... and as they are more than six, since the surer the scatter the less would the normal curve let it pass; beyond
 * twenty, tails so heavy that they matter show themselves.
 */
const perMoreTests = 3.8;
const mostTests = 20;
/** Of fewer tests before than these each one that lacks asks for so much more: they tell little of the scatter. */
const perLackingTest = 1.3;
const enoughBefore = 6;
const fewestBefore = 3;
const toldPlaces = Array.from({ length: 21 }, (_, i) => -3 + 0.3 * i);

/**
 * Whether the newest test, or the newest two or three together, ask what changed.
 * @param tests of one combination, oldest first
 * @param studio scatter of prints that the rest of the studio shows; null where it shows none
 * Source: HoetingEtAl1999 (weighing over the scatter); the limits are judgement.
 */
export function isNewestOutOfLine(tests: readonly LevelTest[], studio: Scatter | null = null): boolean {
  const scatters = studio === null ? unknownScatters : scattersOf(studio);
  return leastLogRatios[studio === null ? "unknown" : "told"].some((least, i) => {
    const before = tests.length - (i + 1);
    if (before < fewestBefore) return false;
    const lacking = perLackingTest * Math.max(0, enoughBefore - before);
    const stray = i === 0 ? allowanceForStray(tests.slice(0, -1)) : 0;
    return logRatioOfChange(tests, i + 1, scatters) > least + lacking + stray;
  });
}

/** By how much more a single newest test has to stand out from those before it [natural logarithm of a ratio]. */
function allowanceForStray(before: readonly LevelTest[]): number {
  const mean = before.reduce((sum, { logSeconds }) => sum + logSeconds, 0) / before.length;
  const squares = before.reduce((sum, { logSeconds }) => sum + (logSeconds - mean) ** 2, 0);
  // One test's worth of the usual scatter, as few tests may lie close by chance.
  const seen = Math.sqrt((squares + usualScatter ** 2) / before.length);
  const wider = Math.max(0, Math.log(seen / usualScatter));
  const more = Math.max(0, Math.log(Math.min(before.length, mostTests) / enoughBefore));
  return perWiderScatter * wider + perMoreTests * more;
}

interface Weighed {
  readonly print: number;
  readonly share: number;
}

function scattersOf({ median, logSigma }: Scatter): Weighed[] {
  return toldPlaces.map((place) => ({
    print: median * Math.exp(logSigma * place),
    share: Math.exp(-(place ** 2) / 2),
  }));
}

/**
 * How much better the tests are explained by a change before so many of the newest ones, of the size that such changes
 * have, than by none [natural logarithm]: both weighed over the scatter.
 */
function logRatioOfChange(tests: readonly LevelTest[], newest: number, scatters: readonly Weighed[]): number {
  const worlds = scatters.map(({ print, share }) => {
    const [old, fresh] = [levelOf(tests.slice(0, -newest), print), levelOf(tests.slice(-newest), print)];
    const logWeight = Math.log(share) + old.logLikelihood + fresh.logLikelihood;
    const [difference, variance] = [fresh.mean - old.mean, old.variance + fresh.variance];
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
