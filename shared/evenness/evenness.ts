// From relative light at many places of a bed to a smooth map with its figures.
import { belonging } from "#shared/statistics/robust.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { surfaceTerms } from "#shared/reading/light/surface-fit.ts";
import type { Evenness, EvennessContour } from "#shared/schema/evenness.ts";

export interface MeasuredPlace {
  /** Shares of the bed's width and height, from its top-left corner. */
  readonly x: number;
  readonly y: number;
  /** Relative irradiance [stops]; any zero. */
  readonly stops: number;
  /** Standard uncertainty of `stops`, where it is known without the surface: a tablet's, from its many steps. */
  readonly sigmaStops?: number;
}

export type EvennessMap = Pick<
  Evenness,
  | "columns"
  | "rows"
  | "stops"
  | "percent"
  | "worstToBestRatio"
  | "worstToBestStops"
  | "sigmaStops"
  | "beyondStops"
  | "noiseStops"
  | "withinTenthShare"
  | "best"
  | "worst"
  | "workArea"
  | "contours"
  | "places"
>;

/** A tenth of a stop is 7 % of the light: about what careful printing repeats to. common practice, no source */
const evenWithinStops = 0.1;
const columns = 24;
const rows = 24;
/**
 * Most terms of the surface for each number of places, so that noise is not drawn as light: bare places, places whose
 * uncertainty is known.
 */
const placesPerTerm = { bare: 2, known: 1.25 };
/** A richer surface is kept when it lowers the residual variance at least by this share. */
const leastGain = 0.1;
/**
 * How many places the known uncertainties count for beside the scatter about the surface, which few places show badly.
 * common practice, no source
 */
const knownWeight = 4;
/**
 * Standard uncertainty of what the surface adds beyond the outermost places, as a share of it; chosen on simulated
 * boxes of tubes so that the range holds 95 of 100
 */
export const beyondDoubt = 0.75;
/** Numbers of contour lines that can still be read. */
const mostContours = 8;

/**
 * Smooth map of relative irradiance over a bed.
 * @param places at least three, anywhere on the bed
 * @param bed size of the bed [mm], where known
 * @throws RangeError with fewer than three places
 */
export function evennessMap(
  places: readonly MeasuredPlace[],
  bed: { readonly widthMm?: number | undefined; readonly heightMm?: number | undefined } = {},
): EvennessMap {
  if (places.length < 3) throw new RangeError("An evenness map needs at least three places.");
  const fit = surfaceThrough(places);
  const cells = Array.from({ length: columns * rows }, (_, i) => ({
    x: ((i % columns) + 0.5) / columns,
    y: (Math.floor(i / columns) + 0.5) / rows,
  }));
  const values = cells.map(({ x, y }) => heightOf(fit, x, y));
  const top = values.reduce((best, value, i) => (value > values[best]! ? i : best), 0);
  const bottom = values.reduce((worst, value, i) => (value < values[worst]! ? i : worst), 0);
  const stops = values.map((value) => value - values[top]!);
  const worstToBestStops = -stops[bottom]!;
  const beyondStops = Math.abs(carriedOn(fit, places, cells[top]!) - carriedOn(fit, places, cells[bottom]!));
  const area = largestRectangle(stops.map((value) => value >= -evenWithinStops));
  return {
    columns,
    rows,
    stops,
    percent: stops.map((value) => 100 * 2 ** value),
    worstToBestRatio: 2 ** worstToBestStops,
    worstToBestStops,
    sigmaStops: Math.hypot(sigmaOfDifference(fit, cells[top]!, cells[bottom]!), beyondDoubt * beyondStops),
    beyondStops,
    noiseStops: fit.residual,
    withinTenthShare: stops.filter((value) => value >= -evenWithinStops).length / stops.length,
    best: cells[top]!,
    worst: cells[bottom]!,
    workArea: {
      ...area,
      widthMm: bed.widthMm === undefined ? null : area.width * bed.widthMm,
      heightMm: bed.heightMm === undefined ? null : area.height * bed.heightMm,
    },
    contours: contoursOf(stops, worstToBestStops),
    places: places.map((place) => ({ x: place.x, y: place.y, stops: place.stops - values[top]! })),
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
  const known = places.flatMap(({ sigmaStops }) => sigmaStops ?? []);
  const isKnown = known.length === places.length;
  const knownSquares = isKnown ? (knownWeight * known.reduce((sum, sigma) => sum + sigma ** 2, 0)) / known.length : 0;
  const fitOf = (kept: readonly MeasuredPlace[], shape: (u: number, v: number) => number[]): LightSurface => {
    const terms = (x: number, y: number): number[] => shape(2 * x - 1, 2 * y - 1);
    const fit = linearLeastSquares({
      design: kept.map(({ x, y }) => terms(x, y)),
      response: kept.map((place) => place.stops),
    });
    const variance =
      (fit.residualSumSquares + knownSquares) / Math.max(1, fit.degreesOfFreedom + (isKnown ? knownWeight : 0));
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
    if (isRich && shape(0, 0).length * (isKnown ? placesPerTerm.known : placesPerTerm.bare) > places.length) break;
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

/** What the surface adds at a place beyond the outermost measured ones [stops]; 0 among them. */
function carriedOn(fit: LightSurface, places: readonly MeasuredPlace[], at: { x: number; y: number }): number {
  const within = (axis: "x" | "y"): number =>
    Math.min(
      Math.max(...places.map((place) => place[axis])),
      Math.max(Math.min(...places.map((place) => place[axis])), at[axis]),
    );
  return heightOf(fit, at.x, at.y) - heightOf(fit, within("x"), within("y"));
}

function sigmaOfDifference(
  { terms, covariance }: LightSurface,
  a: { x: number; y: number },
  b: { x: number; y: number },
): number {
  const [from, to] = [terms(a.x, a.y), terms(b.x, b.y)];
  const apart = from.map((term, i) => term - to[i]!);
  return Math.sqrt(
    Math.max(
      0,
      apart.reduce(
        (sum, term, i) => sum + term * apart.reduce((inner, other, j) => inner + other * covariance[i]![j]!, 0),
        0,
      ),
    ),
  );
}

function withoutWild(places: readonly MeasuredPlace[], fit: LightSurface): readonly MeasuredPlace[] {
  if (places.length < 20 || fit.coefficients.length < shapes[1]!(0, 0).length) return places;
  const belongs = belonging(places.map(({ x, y, stops }) => stops - heightOf(fit, x, y)));
  return places.filter((_, i) => belongs[i]);
}

/** Largest upright rectangle of true cells, in shares. */
function largestRectangle(inside: readonly boolean[]): { x: number; y: number; width: number; height: number } {
  const heights = new Array<number>(columns).fill(0);
  let best = { x: 0, y: 0, width: 0, height: 0 };
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++)
      heights[column] = inside[row * columns + column] ? heights[column]! + 1 : 0;
    for (let left = 0; left < columns; left++) {
      let height = Infinity;
      for (let right = left; right < columns; right++) {
        height = Math.min(height, heights[right]!);
        if (height === 0) break;
        if (height * (right - left + 1) > best.width * best.height)
          best = { x: left, y: row - height + 1, width: right - left + 1, height };
      }
    }
  }
  return { x: best.x / columns, y: best.y / rows, width: best.width / columns, height: best.height / rows };
}

/** Contour lines at round steps below the best place, by marching squares between cell centres. */
function contoursOf(stops: readonly number[], range: number): EvennessContour[] {
  const step = [0.05, 0.1, 0.2, 0.5, 1, 2].find((size) => range / size <= mostContours) ?? 5;
  const contours: EvennessContour[] = [];
  for (let level = step; level < range; level += step)
    contours.push({ stops: Math.round(level * 100) / 100, pieces: isoline(stops, -level) });
  return contours;
}

function isoline(stops: readonly number[], level: number): [number, number, number, number][] {
  const pieces: [number, number, number, number][] = [];
  const value = (column: number, row: number): number => stops[row * columns + column]! - level;
  for (let row = 0; row + 1 < rows; row++) {
    for (let column = 0; column + 1 < columns; column++) {
      const corner = [
        value(column, row),
        value(column + 1, row),
        value(column + 1, row + 1),
        value(column, row + 1),
      ] as const;
      const place = [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ] as const;
      const crossings: [number, number][] = [];
      for (let side = 0; side < 4; side++) {
        const [a, b] = [corner[side]!, corner[(side + 1) % 4]!];
        if (a < 0 === b < 0) continue;
        const share = a / (a - b);
        const [p, q] = [place[side]!, place[(side + 1) % 4]!];
        crossings.push([
          (column + 0.5 + p[0] + share * (q[0] - p[0])) / columns,
          (row + 0.5 + p[1] + share * (q[1] - p[1])) / rows,
        ]);
      }
      for (let i = 0; i + 1 < crossings.length; i += 2) pieces.push([...crossings[i]!, ...crossings[i + 1]!]);
    }
  }
  return pieces;
}
