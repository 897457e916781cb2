// The light that fell on one evenly exposed sheet: a smooth surface through its many places.
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { belonging } from "#shared/statistics/robust.ts";
import { varianceOfSum } from "#shared/statistics/variance-of-sum.ts";
import { surfaceTerms } from "#shared/reading/light/surface-fit.ts";
import { withinMeasured, zonePlaces, type DrawnLight, type MeasuredPlace } from "./drawn-light.ts";
import type { BedPlace } from "./lamp-over-bed.ts";

/**
 * Most terms of the surface for each number of places, so that noise is not drawn as light. common practice, no source
 */
const placesPerTerm = 2;
/** A richer surface is kept when it lowers the residual variance at least by this share. common practice, no source */
const leastGain = 0.1;
/**
 * Standard uncertainty of what the surface adds beyond the outermost places, as a share of it. common practice, no
 * source
 */
const beyondDoubt = 0.75;

/** @param cells at which the light is wanted */
export function lightOfSheet(places: readonly MeasuredPlace[], cells: readonly BedPlace[]): DrawnLight {
  const fit = surfaceThrough(places);
  const carriedOn = (at: BedPlace): number => {
    const within = withinMeasured(places, at);
    return heightOf(fit, at.x, at.y) - heightOf(fit, within.x, within.y);
  };
  const middle = { x: 0.5, y: 0.5 };
  return {
    values: cells.map(({ x, y }) => heightOf(fit, x, y)),
    rangeBetween(top, bottom) {
      const stops = heightOf(fit, top.x, top.y) - heightOf(fit, bottom.x, bottom.y);
      const beyond = beyondDoubt * Math.abs(carriedOn(top) - carriedOn(bottom));
      const sigmaStops = Math.hypot(sigmaOfDifference(fit, top, bottom), beyond);
      const half = rangeSigmas * sigmaStops;
      // What is hardly more than its own doubt may be no difference at all.
      return { stops, sigmaStops, lower: stops < 2 * half ? 0 : stops - half, upper: stops + half };
    },
    carriedOn,
    zones: zonePlaces.map(({ x, y }) => ({
      x,
      y,
      stops: heightOf(fit, x, y) - heightOf(fit, middle.x, middle.y),
      sigmaStops: sigmaOfDifference(fit, { x, y }, middle),
    })),
    noiseStops: fit.residual,
  };
}

/** Shapes of light, from plain to rich; the bowl falls alike to all sides. */
const shapes: readonly ((u: number, v: number) => number[])[] = [
  (u, v) => surfaceTerms(u, v, 1),
  (u, v) => [...surfaceTerms(u, v, 1), u * u + v * v],
  (u, v) => surfaceTerms(u, v, 2),
  (u, v) => surfaceTerms(u, v, 3),
  (u, v) => surfaceTerms(u, v, 4),
];

interface LightSurface {
  readonly terms: (x: number, y: number) => number[];
  readonly coefficients: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Standard deviation of a single place about the surface [stops]. */
  readonly residual: number;
}

/** The simplest surface after which a richer one gains little; left out are places beyond 3.5 robust deviations. */
function surfaceThrough(places: readonly MeasuredPlace[]): LightSurface {
  const fitOf = (kept: readonly MeasuredPlace[], shape: (u: number, v: number) => number[]): LightSurface => {
    const terms = (x: number, y: number): number[] => shape(2 * x - 1, 2 * y - 1);
    const fit = linearLeastSquares({
      design: kept.map(({ x, y }) => terms(x, y)),
      response: kept.map((place) => place.stops),
    });
    const variance = fit.residualSumSquares / Math.max(1, fit.degreesOfFreedom);
    return {
      terms,
      coefficients: fit.coefficients,
      covariance: fit.unscaledCovariance.map((row) => row.map((value) => value * variance)),
      residual: Math.sqrt(variance),
    };
  };
  let best = fitOf(places, () => [1]);
  for (const [richness, shape] of shapes.entries()) {
    const isRich = richness > 0;
    if (isRich && shape(0, 0).length * placesPerTerm > places.length) break;
    try {
      const fit = fitOf(withoutWild(places, best), shape);
      if (isRich && fit.residual ** 2 > (1 - leastGain) * best.residual ** 2) continue;
      best = fit;
    } catch (error) {
      // Places all on one line, or on too few lines for this shape: the simpler surface stands.
      if (!(error instanceof RangeError)) throw error;
      break;
    }
  }
  return best;
}

const heightOf = (fit: LightSurface, x: number, y: number): number =>
  fit.terms(x, y).reduce((sum, term, i) => sum + term * fit.coefficients[i]!, 0);

function sigmaOfDifference({ terms, covariance }: LightSurface, a: BedPlace, b: BedPlace): number {
  const [from, to] = [terms(a.x, a.y), terms(b.x, b.y)];
  const apart = from.map((term, i) => term - to[i]!);
  return Math.sqrt(varianceOfSum(apart, covariance));
}

function withoutWild(places: readonly MeasuredPlace[], fit: LightSurface): readonly MeasuredPlace[] {
  if (places.length < 20 || fit.coefficients.length < shapes[1]!(0, 0).length) return places;
  const belongs = belonging(places.map(({ x, y, stops }) => stops - heightOf(fit, x, y)));
  return places.filter((_, i) => belongs[i]);
}
