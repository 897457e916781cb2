// Smooth surfaces through scattered values: uneven light over a picture, uneven coating over a print.
import { belonging } from "#shared/statistics/robust.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

export interface SurfacePoint {
  /** Place, about -1 to 1 across the area. */
  readonly x: number;
  readonly y: number;
  readonly value: number;
}

export interface SmoothSurface {
  readonly degree: number;
  readonly coefficients: readonly number[];
  /** Standard deviation of the points that were kept about the surface. */
  readonly residual: number;
  /** How many points were left out as wild. */
  readonly leftOut: number;
}

/** The terms x^i y^j with i + j up to the degree. */
export function surfaceTerms(x: number, y: number, degree: number): number[] {
  const terms: number[] = [];
  for (let total = 0; total <= degree; total++) for (let j = 0; j <= total; j++) terms.push(x ** (total - j) * y ** j);
  return terms;
}

/**
 * A polynomial surface through points, leaving out those further than 3.5 robust standard deviations from it.
 * @param degree at most this; lowered until every term has three points
 * @throws RangeError without a single point
 */
export function smoothSurface(points: readonly SurfacePoint[], degree: number): SmoothSurface {
  if (points.length === 0) throw new RangeError("a surface needs at least one point");
  while (degree > 0 && ((degree + 1) * (degree + 2)) / 2 > points.length / 3) degree--;
  let kept = points;
  for (let round = 0; ; round++) {
    const fit = linearLeastSquares({
      design: kept.map(({ x, y }) => surfaceTerms(x, y, degree)),
      response: kept.map(({ value }) => value),
    });
    const surface = {
      degree,
      coefficients: fit.coefficients,
      residual: Math.sqrt(fit.residualSumSquares / Math.max(1, fit.degreesOfFreedom)),
      leftOut: points.length - kept.length,
    };
    if (round === 3) return surface;
    const belongs = belonging(points.map((point) => point.value - surfaceAt(surface, point.x, point.y)));
    const next = points.filter((_, i) => belongs[i]);
    if (next.length < kept.length / 2 || next.length < 3 * fit.coefficients.length) return surface;
    kept = next;
  }
}

/** Height of a surface at a place. */
export function surfaceAt(surface: SmoothSurface, x: number, y: number): number {
  return surfaceTerms(x, y, surface.degree).reduce((sum, term, i) => sum + term * surface.coefficients[i]!, 0);
}
