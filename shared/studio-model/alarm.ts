// When a new test asks "what changed?".
import type { ChangeEvent } from "./observation.ts";
import type { Standing, SuspectedChange } from "./predict.ts";

/** A test made alike would differ so much in fewer than one of so many cases. */
const leastChance = 1 / 250;
/** Belief in a change from which it is asked for. */
const leastShare = 0.5;

/**
 * Whether the newest test, or what came before it, asks what changed.
 * @param standing of the newest test beside all others, as if nothing had changed
 */
export function isNewestOutOfLine(
  standing: Standing | null,
  suspected: readonly SuspectedChange[],
  found: readonly ChangeEvent[],
): boolean {
  if (found.length > 0) return true;
  if (standing !== null && standing.chance < leastChance) return true;
  return suspected.reduce((sum, { share }) => sum + share, 0) > leastShare;
}
