// The exact map between a flat strip and its picture, tilted or not: a homography, nine numbers up to scale.
import { determinantOf, inverseMatrix, type Matrix3 } from "#shared/density/matrix.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";

export type Homography = Matrix3;

/**
 * Homography that carries the unit square to four corners: (0,0), (1,0), (1,1), (0,1) in the order of the corners.
 * @param corners four points [px], no three on a line
 * @returns map from square to picture
 * @throws RangeError when three of the corners lie on a line
 * Source: heckbert-1989, square-to-quadrilateral case
 */
export function homographyFromCorners(corners: Corners): Homography {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners;
  const dx1 = x1 - x2;
  const dx2 = x3 - x2;
  const dy1 = y1 - y2;
  const dy2 = y3 - y2;
  const sx = x0 - x1 + x2 - x3;
  const sy = y0 - y1 + y2 - y3;
  const d = dx1 * dy2 - dx2 * dy1;
  if (!Number.isFinite(d) || d === 0) throw new RangeError("Three of the four corners lie on a line.");
  const g = (sx * dy2 - dx2 * sy) / d;
  const h = (dx1 * sy - sx * dy1) / d;
  const map: Homography = [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1];
  if (determinantOf(map) === 0) throw new RangeError("Three of the four corners lie on a line.");
  return map;
}

/** The map the other way round. @throws RangeError when it has none */
export function inverseHomography(map: Homography): Homography {
  return inverseMatrix(map);
}

/**
 * A point carried by a homography.
 * @param map the homography
 * @param x first coordinate, in the units of the side it maps from
 * @param y second coordinate
 * @returns the point on the other side
 */
export function mapPoint(map: Homography, x: number, y: number): PointPx {
  const w = map[6] * x + map[7] * y + map[8];
  return [(map[0] * x + map[1] * y + map[2]) / w, (map[3] * x + map[4] * y + map[5]) / w];
}

/** The corners, in picture pixels, of a rectangle in the unit square. */
export function mapBox(
  map: Homography,
  box: { readonly u0: number; readonly u1: number; readonly v0: number; readonly v1: number },
): Corners {
  return [
    mapPoint(map, box.u0, box.v0),
    mapPoint(map, box.u1, box.v0),
    mapPoint(map, box.u1, box.v1),
    mapPoint(map, box.u0, box.v1),
  ];
}
