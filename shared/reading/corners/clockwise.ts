// Four points in order round their quadrilateral, whatever order they came in.
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/** Twice the signed area of a turn from a by b to c; above 0 clockwise on a picture (y runs down). */
export const turnAt = (a: PointPx, b: PointPx, c: PointPx): number =>
  (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);

/**
 * The order in which four points follow one another clockwise from the first, as numbers from 0.
 * @param points in any order [px, y down]
 * @returns null where they are no corners of one quadrilateral: one lies between the others, or on a line with two
 */
export function clockwiseFrom(points: Corners): readonly [number, number, number, number] | null {
  const middle: PointPx = [points.reduce((sum, [x]) => sum + x, 0) / 4, points.reduce((sum, [, y]) => sum + y, 0) / 4];
  const angleOf = ([x, y]: PointPx): number => Math.atan2(y - middle[1], x - middle[0]);
  // With y downwards angles rise clockwise.
  const round = [0, 1, 2, 3].sort((p, q) => angleOf(points[p]!) - angleOf(points[q]!));
  const at = round.indexOf(0);
  const [a, b, c, d] = [...round.slice(at), ...round.slice(0, at)] as [number, number, number, number];
  const turns = [
    [a, b, c],
    [b, c, d],
    [c, d, a],
    [d, a, b],
  ] as const;
  return turns.every(([p, q, r]) => turnAt(points[p]!, points[q]!, points[r]!) > 0) ? [a, b, c, d] : null;
}
