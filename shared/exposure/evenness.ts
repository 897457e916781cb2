// From relative light at many places of a bed to a smooth map with its figures.
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { surfaceTerms } from "#shared/reading/surface-fit.ts";
import type { Evenness, EvennessContour } from "#shared/schema/evenness.ts";

export interface MeasuredPlace {
  /** Shares of the bed's width and height, from its top-left corner. */
  readonly x: number;
  readonly y: number;
  /** Relative irradiance [stops]; any zero. */
  readonly stops: number;
}

export type EvennessMap = Pick<Evenness, "columns" | "rows" | "stops" | "percent" | "worstToBestRatio" | "worstToBestStops" | "sigmaStops" | "noiseStops" | "withinTenthShare" | "best" | "worst" | "workArea" | "contours" | "places">;

/** A tenth of a stop is 7 % of the light: about what careful printing repeats to. common practice, no source */
const evenWithinStops = 0.1;
const columns = 24;
const rows = 24;
/** Most terms of the surface for each number of places, so that noise is not drawn as light. */
const placesPerTerm = 2;
const highestDegree = 4;
/** A degree is kept when it lowers the residual variance at least by this share. */
const leastGain = 0.1;
/** Numbers of contour lines that can still be read. */
const mostContours = 8;

/**
 * Smooth map of relative irradiance over a bed.
 * @param places at least three, anywhere on the bed
 * @param bed size of the bed [mm], where known
 * @throws RangeError with fewer than three places
 */
export function evennessMap(places: readonly MeasuredPlace[], bed: { readonly widthMm?: number | undefined; readonly heightMm?: number | undefined } = {}): EvennessMap {
  if (places.length < 3) throw new RangeError("An evenness map needs at least three places.");
  const fit = surfaceThrough(places);
  const at = (x: number, y: number): { value: number; sigma: number } => {
    const terms = surfaceTerms(2 * x - 1, 2 * y - 1, fit.degree).slice(0, fit.coefficients.length);
    const value = terms.reduce((sum, term, i) => sum + term * fit.coefficients[i]!, 0);
    const variance = terms.reduce((sum, term, i) => sum + terms.reduce((inner, other, j) => inner + term * other * fit.covariance[i]![j]!, 0), 0);
    return { value, sigma: Math.sqrt(Math.max(0, variance)) };
  };
  const cells = Array.from({ length: columns * rows }, (_, i) => ({ x: ((i % columns) + 0.5) / columns, y: (Math.floor(i / columns) + 0.5) / rows }));
  const values = cells.map(({ x, y }) => at(x, y));
  const top = values.reduce((best, cell, i) => (cell.value > values[best]!.value ? i : best), 0);
  const bottom = values.reduce((worst, cell, i) => (cell.value < values[worst]!.value ? i : worst), 0);
  const stops = values.map(({ value }) => value - values[top]!.value);
  const worstToBestStops = -stops[bottom]!;
  const area = largestRectangle(stops.map((value) => value >= -evenWithinStops));
  return {
    columns,
    rows,
    stops,
    percent: stops.map((value) => 100 * 2 ** value),
    worstToBestRatio: 2 ** worstToBestStops,
    worstToBestStops,
    sigmaStops: Math.hypot(values[top]!.sigma, values[bottom]!.sigma),
    noiseStops: fit.residual,
    withinTenthShare: stops.filter((value) => value >= -evenWithinStops).length / stops.length,
    best: cells[top]!,
    worst: cells[bottom]!,
    workArea: { ...area, widthMm: bed.widthMm === undefined ? null : area.width * bed.widthMm, heightMm: bed.heightMm === undefined ? null : area.height * bed.heightMm },
    contours: contoursOf(stops, worstToBestStops),
    places: places.map((place) => ({ x: place.x, y: place.y, stops: place.stops - values[top]!.value })),
  };
}

/** The simplest polynomial surface after which a richer one gains little; left out are places beyond 3.5 robust deviations. */
function surfaceThrough(places: readonly MeasuredPlace[]): { degree: number; coefficients: readonly number[]; covariance: readonly (readonly number[])[]; residual: number } {
  const fitOf = (kept: readonly MeasuredPlace[], degree: number) => {
    const fit = linearLeastSquares({ design: kept.map(({ x, y }) => surfaceTerms(2 * x - 1, 2 * y - 1, degree)), response: kept.map((place) => place.stops) });
    const variance = fit.residualSumSquares / Math.max(1, fit.degreesOfFreedom);
    return { degree, coefficients: fit.coefficients, covariance: fit.unscaledCovariance.map((row) => row.map((value) => value * variance)), residual: Math.sqrt(variance) };
  };
  let best = fitOf(places, 0);
  for (let degree = 1; degree <= highestDegree; degree++) {
    const terms = ((degree + 1) * (degree + 2)) / 2;
    if (degree > 1 && terms * placesPerTerm > places.length) break;
    try {
      const fit = fitOf(withoutWild(places, best), degree);
      if (degree > 1 && fit.residual ** 2 > (1 - leastGain) * best.residual ** 2) continue;
      best = fit;
    } catch (error) {
      // Places all on one line, or on too few lines for this degree: the simpler surface stands.
      if (!(error instanceof RangeError)) throw error;
      break;
    }
  }
  return best;
}

function withoutWild(places: readonly MeasuredPlace[], fit: { degree: number; coefficients: readonly number[] }): readonly MeasuredPlace[] {
  if (places.length < 20 || fit.degree < 2) return places;
  const away = places.map(({ x, y, stops }) => Math.abs(stops - surfaceTerms(2 * x - 1, 2 * y - 1, fit.degree).reduce((sum, term, i) => sum + term * fit.coefficients[i]!, 0)));
  const middle = [...away].sort((a, b) => a - b)[away.length >> 1]!;
  return places.filter((_, i) => away[i]! <= 3.5 * 1.4826 * middle + 1e-9);
}

/** Largest upright rectangle of true cells, in shares. */
function largestRectangle(inside: readonly boolean[]): { x: number; y: number; width: number; height: number } {
  const heights = new Array<number>(columns).fill(0);
  let best = { x: 0, y: 0, width: 0, height: 0 };
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) heights[column] = inside[row * columns + column] ? heights[column]! + 1 : 0;
    for (let left = 0; left < columns; left++) {
      let height = Infinity;
      for (let right = left; right < columns; right++) {
        height = Math.min(height, heights[right]!);
        if (height === 0) break;
        if (height * (right - left + 1) > best.width * best.height) best = { x: left, y: row - height + 1, width: right - left + 1, height };
      }
    }
  }
  return { x: best.x / columns, y: best.y / rows, width: best.width / columns, height: best.height / rows };
}

/** Contour lines at round steps below the best place, by marching squares between cell centres. */
function contoursOf(stops: readonly number[], range: number): EvennessContour[] {
  const step = [0.05, 0.1, 0.2, 0.5, 1, 2].find((size) => range / size <= mostContours) ?? 5;
  const contours: EvennessContour[] = [];
  for (let level = step; level < range; level += step) contours.push({ stops: Math.round(level * 100) / 100, pieces: isoline(stops, -level) });
  return contours;
}

function isoline(stops: readonly number[], level: number): [number, number, number, number][] {
  const pieces: [number, number, number, number][] = [];
  const value = (column: number, row: number): number => stops[row * columns + column]! - level;
  for (let row = 0; row + 1 < rows; row++) {
    for (let column = 0; column + 1 < columns; column++) {
      const corner = [value(column, row), value(column + 1, row), value(column + 1, row + 1), value(column, row + 1)] as const;
      const place = [[0, 0], [1, 0], [1, 1], [0, 1]] as const;
      const crossings: [number, number][] = [];
      for (let side = 0; side < 4; side++) {
        const [a, b] = [corner[side]!, corner[(side + 1) % 4]!];
        if (a < 0 === b < 0) continue;
        const share = a / (a - b);
        const [p, q] = [place[side]!, place[(side + 1) % 4]!];
        crossings.push([(column + 0.5 + p[0] + share * (q[0] - p[0])) / columns, (row + 0.5 + p[1] + share * (q[1] - p[1])) / rows]);
      }
      for (let i = 0; i + 1 < crossings.length; i += 2) pieces.push([...crossings[i]!, ...crossings[i + 1]!]);
    }
  }
  return pieces;
}
