// How much light a flat print gets from a lamp of known shape: the cosine law, integrated over the lamp. Lengths in any
// one unit.

/**
 * Configuration factor of a round lamp, seen from a point on its axis.
 * @param radius of the disk, above 0
 * @param distance from the disk to the print, above 0
 * @returns irradiance over the lamp's radiant exitance, 0-1
 * Source: LambertianFactors (disk, on axis).
 * @example
 * diskOnAxis(10, 20) // => 0.2
 */
export function diskOnAxis(radius: number, distance: number): number {
  return radius ** 2 / (radius ** 2 + distance ** 2);
}

/**
 * Configuration factor of a rectangle, seen from under one of its corners, parallel to it.
 * @param width along one side, 0 or more
 * @param height along the other, 0 or more
 * @param distance above 0
 * @returns irradiance over radiant exitance, 0-0.25
 * Source: LambertianFactors (rectangle, corner); the expression from memory, proved by numerical integration.
 */
export function rectangleCorner(width: number, height: number, distance: number): number {
  const A = width / distance;
  const B = height / distance;
  const a = Math.sqrt(1 + A * A);
  const b = Math.sqrt(1 + B * B);
  return ((A / a) * Math.atan(B / a) + (B / b) * Math.atan(A / b)) / (2 * Math.PI);
}

/**
 * Configuration factor of an even rectangular panel, seen from any point below it.
 * @param x from the panel's middle along its width; may lie beyond the edge
 * @param y from the middle along its height
 * @returns irradiance over radiant exitance, 0-1
 * Source: LambertianFactors; four corner rectangles, negative beyond the edge.
 */
export function panelAt({
  width,
  height,
  distance,
  x = 0,
  y = 0,
}: {
  width: number;
  height: number;
  distance: number;
  x?: number;
  y?: number;
}): number {
  const [left, right] = [width / 2 + x, width / 2 - x];
  const [below, above] = [height / 2 + y, height / 2 - y];
  return (
    signedCorner(left, below, distance) +
    signedCorner(right, below, distance) +
    signedCorner(left, above, distance) +
    signedCorner(right, above, distance)
  );
}

/**
 * Configuration factor of a rectangle seen from under one of its corners, negative where it lies to the other side: of
 * rectangles that are made of others by sums and differences.
 * @param width of either sign
 * @param height of either sign
 * @param distance above 0
 * @returns -0.25 to 0.25
 * Source: LambertianFactors (rectangle, corner).
 */
export function signedCorner(width: number, height: number, distance: number): number {
  return Math.sign(width) * Math.sign(height) * rectangleCorner(Math.abs(width), Math.abs(height), distance);
}

/**
 * Irradiance under one thin tube whose light falls off with the cosine, for unit intensity per length at right angles.
 * @param length of the tube
 * @param distance from the plane of the print to the tube's axis, above 0
 * @param x sideways from straight below the tube
 * @param z along the tube from its middle
 * @returns 1 / length
 * Source: LambertianFactors (line source, finite).
 */
export function tubeAt({
  length,
  distance,
  x = 0,
  z = 0,
}: {
  length: number;
  distance: number;
  x?: number;
  z?: number;
}): number {
  const away = Math.sqrt(distance ** 2 + x ** 2);
  return distance * (upTo(length / 2 - z, away) - upTo(-length / 2 - z, away));
}

/** Integral along a tube from the point nearest the place, which lies so far away. */
function upTo(along: number, away: number): number {
  const square = away * away;
  return ((along * away) / (square + along * along) + Math.atan(along / away)) / (2 * square);
}

/**
 * Irradiance under several equal tubes side by side.
 * @param count of tubes, 1 or more
 * @param pitch from axis to axis
 * @returns 1 / length, for unit intensity per length of each tube
 */
export function tubeBankAt({
  count,
  pitch,
  length,
  distance,
  x = 0,
  z = 0,
}: {
  count: number;
  pitch: number;
  length: number;
  distance: number;
  x?: number;
  z?: number;
}): number {
  let sum = 0;
  for (let n = 0; n < count; n++) sum += tubeAt({ length, distance, x: x - (n - (count - 1) / 2) * pitch, z });
  return sum;
}

/**
 * Irradiance on a plane under a small bare lamp that shines alike in all directions, for unit intensity.
 * @param x sideways from straight below
 * @returns 1 / length^2
 * Source: LambertianFactors (inverse square and cosine: cos^3 fall-off).
 */
export function pointAt(distance: number, x = 0): number {
  return distance / (distance ** 2 + x ** 2) ** 1.5;
}
