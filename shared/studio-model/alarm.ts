// When a new test asks "what changed?": when a change explains the newest far better than scatter alone.
import { logSum } from "#shared/statistics/log-sum.ts";
import type { LevelTest, Scatter } from "./one-combination.ts";
import { unnotedSpread } from "./unnoted-changes.ts";

/**
 * Scatters of prints that are weighed where nothing of the studio's is known [log10], with and without a change alike:
 * any from 0.01 to 0.05 alike likely by its logarithm, and one studio in 200 with more. So the rule asks rarely at each
 * of them, most often at 0.05. common practice, no source
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
 * explain them. Chosen on invented streams so that fewer than 4 in 100 cry wolf within twenty tests where they scatter
 * by 0.05, and fewer still where they scatter less: where nothing is known of the scatter, and where the rest of the
 * studio tells it.
 */
const leastLogRatios = { unknown: [4.75, 6.25, 5.25], told: [3.35, 4.85, 3.85] } as const;
const toldPlaces = Array.from({ length: 21 }, (_, i) => -3 + 0.3 * i);
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
  const scatters = studio === null ? unknownScatters : scattersOf(studio);
  return leastLogRatios[studio === null ? "unknown" : "told"].some((least, i) => {
    const before = tests.length - (i + 1);
    if (before < fewestBefore) return false;
    return logRatioOfChange(tests, i + 1, scatters) > least + Math.max(0, enoughBefore - before);
  });
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
