// How the tests of one combination stand to each other: whether they agree, which is odd, whether something changed.
import { isNewestOutOfLine } from "#shared/studio-model/alarm.ts";
import { batchSpread, knownLogSeconds } from "#shared/studio-model/unknowns.ts";
import type { Observation } from "#shared/studio-model/observation.ts";
import { levelAccount, usualScatter, type LevelTest, type Scatter } from "#shared/studio-model/one-combination.ts";

/** Tests looked at; older ones say little of today. */
const mostTests = 24;
/** Where less belief than this lies within a fifth of a stop of the level, the tests contradict each other. */
const leastSettled = 0.42;
/** A newest test that is odd with so much belief, while the level is not sure, contradicts the others. */
const surelyOdd = 0.6;
const surelySettled = 0.9;
/** A change more likely than this explains why the newest tests stand apart. */
const likelyShare = 0.5;
/**
 * Only one more likely than this is spoken of. Chosen on invented streams of 20 tests without a change (100 of each
 * scatter up to 0.05 log H, seeds from 1 on): at a half up to 29 in 100 spoke of one, so at most 3.
 */
const spokenShare = 0.9;
/** A test more likely than this a blunder is named. */
const namedShare = 0.3;

export interface OwnTests {
  /** They contradict each other, and no one change between old and new explains it. */
  readonly doDisagree: boolean;
  /** The test that stands furthest from the others, when they disagree. */
  readonly oddId: string | null;
  /** The newest asks what changed. */
  readonly isNewestOdd: boolean;
  /** Instant of the likeliest change [ms]; null where none is nearly sure. */
  readonly changedAtMs: number | null;
  /** Scatter from print to print that they show, with what is usual [log10]. */
  readonly printSpread: number;
}

/**
 * Holds the measured tests of one combination against each other.
 * @param all its observations, in any order; only measured ones are read
 * @param studio scatter of prints that the rest of the studio shows; null where it shows none
 * @returns null with fewer than two
 */
export function ownTests(all: readonly Observation[], studio: Scatter | null = null): OwnTests | null {
  const measured = all.filter(({ seen }) => seen.kind === "measured").sort((a, b) => a.atMs - b.atMs);
  const observations = measured.slice(-mostTests);
  const newest = observations.at(-1);
  const tests = observations.flatMap((each) => levelTest(each, newest?.batchId ?? null));
  if (newest === undefined || tests.length < 2) return null;
  const account = levelAccount(tests, studio ?? usualScatter);
  const isNewestOdd = isNewestOutOfLine(tests, studio);
  const changed = account.changedBefore.reduce((sum, share) => sum + share, 0);
  const place = account.changedBefore.indexOf(Math.max(...account.changedBefore));
  const newestShare = account.changedBefore.at(-1)! + account.blunders.at(-1)!;
  const isChanged = changed > likelyShare;
  const isUnsure = !isChanged && newestShare > surelyOdd && account.settledShare < surelySettled;
  const doDisagree = account.settledShare < leastSettled || isUnsure;
  return {
    doDisagree,
    oddId: doDisagree && tests.length > 2 ? oddOf(observations, account.blunders, isUnsure) : null,
    isNewestOdd,
    changedAtMs: changed > spokenShare ? observations[place]!.atMs : null,
    printSpread: account.printSpread,
  };
}

function oddOf(observations: readonly Observation[], blunders: readonly number[], isNewest: boolean): string | null {
  if (isNewest) return observations.at(-1)?.id ?? null;
  const most = Math.max(...blunders);
  return most < namedShare ? null : (observations[blunders.indexOf(most)]?.id ?? null);
}

/**
 * A test with everything that is known taken off, and what is not known of its distance, and of another batch than the
 * newest test's, added to its own doubt.
 */
function levelTest(observation: Observation, newestBatchId: string | null): LevelTest[] {
  const { seen, distance } = observation;
  if (seen.kind !== "measured") return [];
  const logSeconds = seen.logSeconds - knownLogSeconds(observation);
  return [
    {
      logSeconds,
      sigma: Math.hypot(seen.sigma, distance?.sigmaLogH ?? 0, observation.batchId === newestBatchId ? 0 : batchSpread),
    },
  ];
}
