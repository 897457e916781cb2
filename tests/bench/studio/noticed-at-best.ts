// How soon a change could be noticed at best: bounds that no rule can pass, beside what the program reaches.
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import { seededRandom } from "#shared/statistics/random.ts";

/** Shares of 20-test streams that may cry wolf, and at how many of their tests a rule looks: once six stand. */
const mostFalse = 0.05;
const looks = 14;
const perLook = 1 - (1 - mostFalse) ** (1 / looks);
const testSigma = 0.015;
const drawn = 20_000;

export interface Noticed {
  /** Shares of changes, 0-1. */
  readonly atOnce: number;
  readonly withinThree: number;
}

export interface Change {
  readonly printScatter: number;
  /** Either way [log10]. */
  readonly step: number;
  /** Tests before it. */
  readonly before: number;
}

/** If the scatter were known: the newest, or the mean of three, beside the mean of those before. */
export function noticedWithKnownScatter({ printScatter, step, before }: Change): Noticed {
  const sigma = Math.hypot(printScatter, testSigma);
  const least = 2.91;
  const chance = (tests: number): number =>
    1 - normalShareBelow(least - step / (sigma * Math.sqrt(1 / tests + 1 / before)));
  return { atOnce: chance(1), withinThree: chance(3) };
}

/**
 * Where the scatter is one of several and nobody knows which: the rule must cry wolf rarely at each of them. By the
 * lemma of Neyman and Pearson none notices more than the one that is made for this very change and against one of these
 * scatters alone; the least of these is a bound. Crying wolf is allowed alike at each test, so three looks may cry
 * thrice as often. Neyman and Pearson, Phil. Trans. R. Soc. A 231 (1933) 289, from memory; drawn at
 * random, so to about two in a hundred.
 */
export function noticedWithUnknownScatter(change: Change, scatters: readonly number[]): Noticed {
  const bound = (tests: number): number =>
    Math.min(...scatters.map((quiet) => powerAgainst(change, tests, quiet, Math.min(3, tests) * perLook)));
  return { atOnce: bound(1), withinThree: bound(3) };
}

/** Power of the likelihood ratio of the change against another scatter without one, at a level. */
function powerAgainst({ printScatter, step, before }: Change, tests: number, quiet: number, level: number): number {
  const random = seededRandom(1);
  const [changedSigma, quietSigma] = [Math.hypot(printScatter, testSigma), Math.hypot(quiet, testSigma)];
  const count = before + tests;
  const stepAt = (i: number, sign: number): number => (i < before ? 0 : sign * step);
  const logLikelihood = (times: readonly number[], sigma: number, sign: number): number => {
    const levelled = times.map((time, i) => time - stepAt(i, sign));
    const mean = levelled.reduce((sum, time) => sum + time, 0) / count;
    const squares = levelled.reduce((sum, time) => sum + (time - mean) ** 2, 0);
    return -(count - 1) * Math.log(sigma) - squares / (2 * sigma ** 2);
  };
  const ratio = (times: readonly number[]): number => {
    const [up, down] = [logLikelihood(times, changedSigma, 1), logLikelihood(times, changedSigma, -1)];
    const most = Math.max(up, down);
    return most + Math.log(Math.exp(up - most) + Math.exp(down - most)) - logLikelihood(times, quietSigma, 0);
  };
  const ratios = (sigma: number, sign: number): number[] =>
    Array.from({ length: drawn }, () =>
      ratio(Array.from({ length: count }, (_, i) => stepAt(i, sign) + sigma * random.normal())),
    );
  const byChance = ratios(quietSigma, 0).sort((a, b) => b - a);
  const least = byChance[Math.floor(level * drawn)]!;
  return ratios(changedSigma, 1).filter((each) => each > least).length / drawn;
}
