// How far two places of a strip lie apart.
import type { Corners } from "#shared/schema/reading.ts";

/** Length of a place along its first long edge [px]. */
export const lengthOf = ([a, b]: Corners): number => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** Greatest distance between the corners of two places, as a share of the second one's length. */
export function apartShare(corners: Corners, other: Corners): number {
  return Math.max(...other.map(([x, y], i) => Math.hypot(corners[i]![0] - x, corners[i]![1] - y))) / lengthOf(other);
}
