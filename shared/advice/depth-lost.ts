// What a wide range costs where the curve is flat.
import { shareAt } from "#shared/curve/curve-at.ts";
import type { Curve } from "#shared/schema/curve.ts";

/**
 * Where the curve is flat a wide range, up to a stop, costs little depth, and the strip must go on beyond it.
 * Common practice, no source; the strip beyond found on simulated tests that barely reach the shoulder.
 */
const widestFlatLogH = 0.3;
const mostDepthLost = 0.1;
const seenBeyondLogH = 0.15;

/**
 * Most that a print by the time can lack within a wide range, where the curve is so flat that it is little.
 * The shoulder may lie later since less light arrived than was thought: then the print stands so far below it. Or the
 * deepest blue is deeper than was thought: then it lacks less, since the curve is flatter beyond.
 * @returns share (0-1) of net D-max; null where it may be more than a little, or the strip does not go on far enough
 */
export function depthLostWithin(
  curve: Curve,
  { targetShare, shoulderLogH, halfLogH }: { targetShare: number; shoulderLogH: number; halfLogH: number },
): number | null {
  const highest = curve.samples.at(-1)!.logH;
  const isSeen = curve.reversalFromLogH !== null || shoulderLogH + halfLogH + seenBeyondLogH <= highest;
  const lost = targetShare - shareAt(curve, shoulderLogH - halfLogH);
  return isSeen && halfLogH <= widestFlatLogH && lost <= mostDepthLost ? lost : null;
}
