// How the time under a lamp grows with the distance, from the tests themselves: no size of the lamp is needed.
import { SimpleLinearRegression } from "ml-regression";

export interface DistanceTest {
  readonly distanceMm: number;
  /** log10 of the seconds to one same density, on one same coating. */
  readonly logSeconds: number;
}

/** Seconds that follow (rootSlope (distance + offset))^2. */
export interface DistanceFit {
  /** The light acts as if it came from this far behind the lamp's front [mm]; below 0, from before it. */
  readonly offsetMm: number;
  /** Square root of the seconds gained with each mm. */
  readonly rootSlope: number;
  /** Different distances that were tested. */
  readonly distances: number;
  /**
   * Largest difference between a test's seconds and the fit [% of the fit]; null with two distances, through which any
   * line goes.
   */
  readonly worstMissPercent: number | null;
}

/**
 * A lamp whose light follows 1 / (h + h0)^2: the square root of the time is straight in the distance.
 * Large h0: a large lamp, or one behind glass; 0: a point.
 * @returns null when the times do not grow with distance, or one distance alone was tested
 * Valid: between the tested distances and little beyond; a panel nearer than its width follows no inverse square.
 * Source: LampGeometry, "fit h0".
 */
export function distanceFit(tests: readonly DistanceTest[]): DistanceFit | null {
  const distancesMm = tests.map((test) => test.distanceMm);
  const distances = new Set(distancesMm).size;
  if (distances < 2) return null;
  const roots = tests.map((test) => 10 ** (test.logSeconds / 2));
  const { slope, intercept } = new SimpleLinearRegression(distancesMm, roots);
  if (!(slope > 0)) return null;
  const offsetMm = intercept / slope;
  const fit = { offsetMm, rootSlope: slope, distances, worstMissPercent: null };
  if (distances === 2) return fit;
  const misses = tests.map((test, i) => Math.abs((roots[i]! / (slope * (test.distanceMm + offsetMm))) ** 2 - 1));
  return { ...fit, worstMissPercent: 100 * Math.max(...misses) };
}

/** Seconds at a distance by the fit; 0 where the light would come from. */
export function secondsAtDistance({ rootSlope, offsetMm }: DistanceFit, distanceMm: number): number {
  return (rootSlope * Math.max(0, distanceMm + offsetMm)) ** 2;
}
