// Whether a strip looks like one of another usual number of steps than was said.
// Numbers: common practice, no source (rendered scenes).
import type { FramedStrip } from "./framed-strip.ts";
import { numberings, seenEndWorth, type Numbering } from "./strip-numbering.ts";

/** Numbers of steps that tablets usually have. Source: common practice, no source. */
export const usualCounts: readonly number[] = [9, 10, 11, 13, 16, 21, 31, 41];
/** Another count has to leave this much less unexplained, and little itself. */
const clearlyBetter = 3.5;
const mostUnexplained = 2;
/** A comb that fits is seen at this share of its teeth, and stands this much above what lies between them. */
const leastSeenShare = 0.75;
const mostNoiseShare = 0.3;

/**
 * The usual number of steps that explains a framed strip clearly better than the declared one, or null. It tells only
 * where both ends are seen, or more steps than were declared.
 * @param best the numbering chosen with the declared number
 */
export function otherCountOf(framed: FramedStrip, declared: number, best: Numbering): number | null {
  // No other numbering can cost less than nothing, but for an end seen where it was foretold.
  if (best.cost <= clearlyBetter - seenEndWorth) return null;
  let found: { count: number; cost: number } | null = null;
  for (const count of usualCounts) {
    if (count === declared) continue;
    const [other] = numberings(framed, count);
    if (other === undefined || other.unexplained > mostUnexplained) continue;
    if (found === null || other.cost < found.cost) found = { count, cost: other.cost };
  }
  return found !== null && best.cost - found.cost > clearlyBetter ? found.count : null;
}

/**
 * How well the comb of a frame fits what it was laid over: 0 (not at all) to 1 (seen at every tooth, nothing between).
 */
export function combFit({ comb: { boundaries, noise } }: FramedStrip): number {
  const [first, last] = [boundaries[0], boundaries.at(-1)];
  if (first === undefined || last === undefined || boundaries.length < 3) return 0;
  const falls = boundaries.map((b) => b.fall).sort((a, b) => a - b);
  const typical = falls[falls.length >> 1]!;
  const seenShare = boundaries.length / (last.k - first.k + 1);
  const quiet = Math.max(0, 1 - noise / Math.max(typical, 1e-9));
  return seenShare * quiet;
}

/** Whether a comb fits so well that no other count need be tried. */
export const isGoodComb = (framed: FramedStrip): boolean => combFit(framed) > leastSeenShare * (1 - mostNoiseShare);
