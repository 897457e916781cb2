// The shape of a strip in the small picture: a flat rectangle seen in perspective, that cloth stretches and a lens
// bends a little. Eleven numbers place every point of it.
import { homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/**
 * Coordinates of the four corners [small px], then bow and wave of the steps along the strip and bend across it, shares
 * of its length.
 */
export type StripShape = readonly number[];

export const shapeTerms = 11;
const cornerTerms = 8;

/** A strip with straight, even steps between its corners [small px]. */
export const shapeOfCorners = (corners: Corners): StripShape => [...corners.flat(), 0, 0, 0];

/** Its corners, the dark end first [small px]. */
export const cornersOfShape = ([ax, ay, bx, by, cx, cy, dx, dy]: StripShape): Corners => [
  [ax!, ay!],
  [bx!, by!],
  [cx!, cy!],
  [dx!, dy!],
];

/** Place of a point of the strip: u from 0 (dark end) to 1 along it, v from 0 to 1 across it [small px]. */
export type PlaceOf = (u: number, v: number) => PointPx;

/** Where each point of a shape lies. */
export function placesOf(shape: StripShape): PlaceOf {
  const map = homographyFromCorners(cornersOfShape(shape));
  const [alongX, alongY] = [shape[2]! - shape[0]!, shape[3]! - shape[1]!];
  const [bow, wave, bend] = [shape[8]!, shape[9]!, shape[10]!];
  return (u, v) => {
    const arch = u * (1 - u);
    const stretched = u + 2 * bow * arch + (u > 0 && u < 1 ? wave * Math.sin(2 * Math.PI * u) : 0);
    const [x, y] = mapPoint(map, stretched, v);
    const aside = 4 * bend * arch;
    return [x - aside * alongY, y + aside * alongX];
  };
}

/** Mean length and height [small px]. */
export function sizeOf(shape: StripShape): { length: number; height: number } {
  const [a, b, c, d] = cornersOfShape(shape);
  const apart = (p: PointPx, q: PointPx) => Math.hypot(q[0] - p[0], q[1] - p[1]);
  return { length: (apart(a, b) + apart(d, c)) / 2, height: (apart(a, d) + apart(b, c)) / 2 };
}

/** How the scale changes along and across the strip: the two terms of the homography's denominator. */
export function perspectiveOf(shape: StripShape): readonly [number, number] {
  const map = homographyFromCorners(cornersOfShape(shape));
  return [map[6], map[7]];
}

/** The shape with one of its terms a little changed, and by how much. */
export function nudged(shape: StripShape, term: number): { shape: StripShape; by: number } {
  const by = term < cornerTerms ? 0.01 : 1e-4;
  return { shape: shape.map((value, i) => (i === term ? value + by : value)), by };
}

/** The strip moved along itself by so many of its steps. */
export function shifted(shape: StripShape, stepsAlong: number, steps: number): StripShape {
  const map = homographyFromCorners(cornersOfShape(shape));
  const [from, to] = [stepsAlong / steps, 1 + stepsAlong / steps];
  return [
    ...mapPoint(map, from, 0),
    ...mapPoint(map, to, 0),
    ...mapPoint(map, to, 1),
    ...mapPoint(map, from, 1),
    ...shape.slice(cornerTerms),
  ];
}

/** Unit vector across the line of one u (or of one v) at a place, towards greater u (or v). */
export function acrossLine(placeOf: PlaceOf, u: number, v: number, line: "of u" | "of v"): PointPx {
  const small = 0.02;
  const [p, q] =
    line === "of u" ? [placeOf(u, v - small), placeOf(u, v + small)] : [placeOf(u - small, v), placeOf(u + small, v)];
  const [tangentX, tangentY] = [q[0] - p[0], q[1] - p[1]];
  const norm = Math.hypot(tangentX, tangentY);
  const here = placeOf(u, v);
  const on = line === "of u" ? placeOf(u + 1e-3, v) : placeOf(u, v + 1e-3);
  const side = -tangentY * (on[0] - here[0]) + tangentX * (on[1] - here[1]) < 0 ? -1 : 1;
  return [(-tangentY * side) / norm, (tangentX * side) / norm];
}
