// A homography that fits more than four points best.
import type { Matrix3 } from "#shared/density/matrix.ts";
import type { PointPx } from "#shared/schema/reading.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

export interface PointPair {
  readonly from: readonly [number, number];
  readonly to: PointPx;
  /** Standard uncertainty of `to` relative to the other pairs; 1 when absent. */
  readonly sigma?: number;
}

/**
 * The homography carrying points nearest to their partners, by the direct linear transform on shifted and scaled
 * coordinates.
 * @param pairs at least four, no three of them on a line
 * @returns map from the first side to the second, nine numbers row by row
 * @throws RangeError when the points do not fix it
 * Source: from memory (direct linear transform with normalised coordinates).
 */
export function homographyFromPoints(pairs: readonly PointPair[]): Matrix3 {
  const a = centring(pairs.map((pair) => pair.from));
  const b = centring(pairs.map((pair) => pair.to));
  const design: number[][] = [];
  const response: number[] = [];
  const sigma: number[] = [];
  for (const { from, to, sigma: s = 1 } of pairs) {
    const [x, y] = [(from[0] - a.x) / a.size, (from[1] - a.y) / a.size];
    const [u, v] = [(to[0] - b.x) / b.size, (to[1] - b.y) / b.size];
    design.push([x, y, 1, 0, 0, 0, -x * u, -y * u], [0, 0, 0, x, y, 1, -x * v, -y * v]);
    response.push(u, v);
    sigma.push(s, s);
  }
  const [h0, h1, h2, h3, h4, h5, h6, h7] = linearLeastSquares({ design, response, sigma }).coefficients as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  // Undo the scaling: picture = B^-1 H A, with A and B the shifts and scales above.
  const top = [h0 * b.size + b.x * h6, h1 * b.size + b.x * h7, h2 * b.size + b.x] as const;
  const middle = [h3 * b.size + b.y * h6, h4 * b.size + b.y * h7, h5 * b.size + b.y] as const;
  const bottom = [h6, h7, 1] as const;
  const undo = (row: readonly [number, number, number]): [number, number, number] => [
    row[0] / a.size,
    row[1] / a.size,
    row[2] - (row[0] * a.x + row[1] * a.y) / a.size,
  ];
  return [...undo(top), ...undo(middle), ...undo(bottom)];
}

function centring(points: readonly (readonly [number, number])[]): { x: number; y: number; size: number } {
  const x = points.reduce((sum, point) => sum + point[0], 0) / points.length;
  const y = points.reduce((sum, point) => sum + point[1], 0) / points.length;
  const size = points.reduce((sum, point) => sum + Math.hypot(point[0] - x, point[1] - y), 0) / points.length;
  if (!(size > 0)) throw new RangeError("All points fall together.");
  return { x, y, size };
}
