// When a new test asks "what changed?".
import type { LevelAccount } from "./one-combination.ts";

/**
 * Belief that the newest test is odd (a change just before it, or a blunder), and that anything changed, from which
 * is asked.
 */
const leastNewest = 0.23;
const leastChanged = 0.8;
/** Where prints scatter by more than this [log10], both must be surer: chance alone makes far tests there. */
const calmScatter = 0.026;
const newestByScatter = 60;
const changedByScatter = 7;
/** With so few tests before it hardly anything is known of the scatter. */
const fewBefore = 3;
const extraOfFew = 0.6;

/**
 * Whether the newest test, or what came before it, asks what changed. The sizes were chosen on invented streams of
 * tests.
 * @param account of all tests with the newest
 * @param scatterBefore tells the scatter of prints as the tests before the newest showed it [log10]; asked only where
 * it decides, for it is as dear as the account
 */
export function isNewestOutOfLine({ changedBefore, blunders }: LevelAccount, scatterBefore: () => number): boolean {
  const before = changedBefore.length - 1;
  const newest = (changedBefore.at(-1) ?? 0) + (blunders.at(-1) ?? 0);
  const changed = changedBefore.reduce((sum, share) => sum + share, 0);
  const isOutBeyond = (beyond: number): boolean =>
    newest > Math.min(0.97, leastNewest + newestByScatter * beyond + extraFor(before)) ||
    changed > Math.min(0.998, leastChanged + changedByScatter * beyond);
  return isOutBeyond(0) && isOutBeyond(Math.max(0, scatterBefore() - calmScatter));
}

function extraFor(before: number): number {
  if (before < fewBefore) return extraOfFew;
  return before < fewBefore + 2 ? extraOfFew / 2 : 0;
}
