// Where the corners of a tablet go when they are moved on the picture.
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/** Middle of four corners. */
export const middleOf = (outline: Corners): PointPx => [
  outline.reduce((sum, [x]) => sum + x, 0) / 4,
  outline.reduce((sum, [, y]) => sum + y, 0) / 4,
];

/** Corners with one of them, or with null all four, moved by so many pixels of the picture, and never out of it. */
export function movedInside(
  corners: Corners,
  index: number | null,
  by: PointPx,
  picture: { readonly width: number; readonly height: number },
): Corners {
  const isMoved = (each: number): boolean => index === null || each === index;
  const within = (axis: 0 | 1, most: number): number => {
    const places = corners.filter((_, each) => isMoved(each)).map((corner) => corner[axis]);
    return Math.max(0 - Math.min(...places), Math.min(most - Math.max(...places), by[axis]));
  };
  const [dx, dy] = [within(0, picture.width), within(1, picture.height)];
  return corners.map(([x, y], each): PointPx => (isMoved(each) ? [x + dx, y + dy] : [x, y])) as Corners;
}

/** Which side of the line from one point to another a third lies on: more or less than 0. */
const sideOf = (p: PointPx, q: PointPx, r: PointPx): number =>
  (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);

const doCross = (p: PointPx, q: PointPx, r: PointPx, s: PointPx): boolean =>
  sideOf(p, q, r) * sideOf(p, q, s) < 0 && sideOf(r, s, p) * sideOf(r, s, q) < 0;

/** Four taps as corners; when the last two came in the other order, the outline is uncrossed. */
export function cornersOfTaps([a, b, c, d]: readonly [PointPx, PointPx, PointPx, PointPx]): Corners {
  return doCross(b, c, d, a) ? [a, b, d, c] : [a, b, c, d];
}

/** Whether a point lies inside an outline, or on its rim. */
export const isInside = ([a, b, c, d]: Corners, point: PointPx): boolean => {
  const sides = [sideOf(a, b, point), sideOf(b, c, point), sideOf(c, d, point), sideOf(d, a, point)];
  return sides.every((side) => side >= 0) || sides.every((side) => side <= 0);
};

/** Every order of four. */
const orders = [0, 1, 2, 3]
  .flatMap((a) => [0, 1, 2, 3].flatMap((b) => [0, 1, 2, 3].map((c) => [a, b, c, 6 - a - b - c] as const)))
  .filter((order) => new Set(order).size === order.length);

/** Corners numbered as those of another outline, so that all together lie nearest to it. */
export function numberedAs(like: Corners, corners: Corners): Corners {
  const apart = (order: (typeof orders)[number]): number =>
    order.reduce((sum, k, i) => sum + Math.hypot(corners[k]![0] - like[i]![0], corners[k]![1] - like[i]![1]), 0);
  const [a, b, c, d] = orders.reduce((nearest, order) => (apart(order) < apart(nearest) ? order : nearest));
  return [corners[a]!, corners[b]!, corners[c]!, corners[d]!];
}
