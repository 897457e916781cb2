// The shape of a strip in the small picture: a flat rectangle seen in perspective and bent by a lens, that cloth
// stretches a little. Twelve numbers place every point of it.
import { homographyFromCorners } from "#shared/reading/corners/homography.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

/**
 * Coordinates of the four corners [small px]; bow and wave of the steps along the strip and bend across it, as cloth
 * stretches, shares of its length; and how much nearer the middle of the picture a point of its corners would lie
 * without the lens, share of its distance from there.
 */
export type StripShape = readonly number[];

export const shapeTerms = 12;
export const cornerTerms = 8;
/** The terms of steps stretched along the strip, as those of cloth are; of its bend to the side; and of the lens. */
export const stretchTerms = [8, 9] as const;
export const bendTerm = 10;
export const lensTerm = 11;

/** A strip with straight, even steps between its corners [small px]. */
export const shapeOfCorners = (corners: Corners): StripShape => [...corners.flat(), 0, 0, 0, 0];

/** The picture that a strip lies in [small px]: its lens bends about the middle. */
export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

interface Lens {
  readonly middleX: number;
  readonly middleY: number;
  /** The bend for each square pixel of distance from the middle. */
  readonly perSquarePx: number;
}

function lensOf(shape: StripShape, { width, height }: PictureSize): Lens {
  const [middleX, middleY] = [width / 2, height / 2];
  return { middleX, middleY, perSquarePx: shape[lensTerm]! / (middleX ** 2 + middleY ** 2) };
}

/** Where a point of the picture would lie without the lens. Source: brown-1966 (the first radial term). */
function straightened({ middleX, middleY, perSquarePx }: Lens, [x, y]: PointPx): PointPx {
  const [dx, dy] = [x - middleX, y - middleY];
  const scale = 1 - perSquarePx * (dx * dx + dy * dy);
  return [middleX + dx * scale, middleY + dy * scale];
}

/** Corners of the flat strip, as they would lie without the lens. */
const straightCorners = (shape: StripShape, picture: PictureSize): Corners => {
  const lens = lensOf(shape, picture);
  return ofEachCorner(cornersOfShape(shape), (corner) => straightened(lens, corner));
};

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
export function placesOf(shape: StripShape, picture: PictureSize): PlaceOf {
  const map = homographyFromCorners(straightCorners(shape, picture));
  const [alongX, alongY] = [shape[2]! - shape[0]!, shape[3]! - shape[1]!];
  const [bow, wave, bend] = [shape[8]!, shape[9]!, shape[10]!];
  const { middleX, middleY, perSquarePx } = lensOf(shape, picture);
  return (u, v) => {
    const arch = u * (1 - u);
    const stretched = u + 2 * bow * arch + (u > 0 && u < 1 ? wave * Math.sin(2 * Math.PI * u) : 0);
    const aside = 4 * bend * arch;
    const w = map[6] * stretched + map[7] * v + map[8];
    const dx = (map[0] * stretched + map[1] * v + map[2]) / w - aside * alongY - middleX;
    const dy = (map[3] * stretched + map[4] * v + map[5]) / w + aside * alongX - middleY;
    // The inverse of what straightens, as a series.
    const q = perSquarePx * (dx * dx + dy * dy);
    const scale = 1 + q + 3 * q * q;
    return [middleX + dx * scale, middleY + dy * scale];
  };
}

/** Mean length and height [small px]. */
export function sizeOf(shape: StripShape): { length: number; height: number } {
  const [a, b, c, d] = cornersOfShape(shape);
  const apart = (p: PointPx, q: PointPx) => Math.hypot(q[0] - p[0], q[1] - p[1]);
  return { length: (apart(a, b) + apart(d, c)) / 2, height: (apart(a, d) + apart(b, c)) / 2 };
}

/** How the scale changes along and across the strip: the two terms of the homography's denominator. */
export function perspectiveOf(shape: StripShape, picture: PictureSize): readonly [number, number] {
  const map = homographyFromCorners(straightCorners(shape, picture));
  return [map[6], map[7]];
}

/** The shape with one of its terms a little changed, and by how much. */
export function nudged(shape: StripShape, term: number): { shape: StripShape; by: number } {
  const by = term < cornerTerms ? 0.01 : 1e-4;
  return { shape: shape.map((value, i) => (i === term ? value + by : value)), by };
}

/** The strip moved along itself by so many of its steps. */
export function shifted(shape: StripShape, stepsAlong: number, steps: number, picture: PictureSize): StripShape {
  const placeOf = placesOf(shape, picture);
  const [from, to] = [stepsAlong / steps, 1 + stepsAlong / steps];
  return [...placeOf(from, 0), ...placeOf(to, 0), ...placeOf(to, 1), ...placeOf(from, 1), ...shape.slice(cornerTerms)];
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
