// From relative light at many places of a bed to a smooth map with its figures.
import type { Evenness, EvennessContour } from "#shared/schema/evenness.ts";
import type { MeasuredPlace } from "./drawn-light.ts";
import type { KnownLamp } from "./lamp-over-bed.ts";
import { lightOfSheet } from "./light-of-sheet.ts";
import { lightOfTablets } from "./light-of-tablets.ts";

export type EvennessMap = Pick<
  Evenness,
  | "columns"
  | "rows"
  | "stops"
  | "percent"
  | "worstToBestRatio"
  | "worstToBestStops"
  | "lowerStops"
  | "upperStops"
  | "zones"
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
/** Numbers of contour lines that can still be read. */
const mostContours = 8;

/**
 * Smooth map of relative irradiance over a bed.
 * @param places at least three, anywhere on the bed
 * @param bed size of the bed [mm], where known
 * @param lamp over the bed; null where nothing is known of it
 * @throws RangeError with fewer than three places
 */
export function evennessMap(
  places: readonly MeasuredPlace[],
  bed: { readonly widthMm?: number | undefined; readonly heightMm?: number | undefined } = {},
  lamp: KnownLamp | null = null,
): EvennessMap {
  if (places.length < 3) throw new RangeError("An evenness map needs at least three places.");
  const cells = Array.from({ length: columns * rows }, (_, i) => ({
    x: ((i % columns) + 0.5) / columns,
    y: (Math.floor(i / columns) + 0.5) / rows,
  }));
  const known = places.flatMap(({ sigmaStops, ...place }) =>
    sigmaStops === undefined ? [] : [{ ...place, sigmaStops }],
  );
  // Few tablets of known uncertainty are helped by the lamp's geometry; the many places of a sheet need no help.
  const { widthMm, heightMm } = bed;
  const size = widthMm === undefined || heightMm === undefined ? null : { widthMm, heightMm };
  const light =
    known.length === places.length ? lightOfTablets(known, { lamp, bed: size, cells }) : lightOfSheet(places, cells);
  const { values } = light;
  const top = values.reduce((best, value, i) => (value > values[best]! ? i : best), 0);
  const bottom = values.reduce((worst, value, i) => (value < values[worst]! ? i : worst), 0);
  const stops = values.map((value) => value - values[top]!);
  const range = light.rangeBetween(cells[top]!, cells[bottom]!);
  const beyondStops = Math.abs(light.carriedOn(cells[top]!) - light.carriedOn(cells[bottom]!));
  const area = largestRectangle(stops.map((value) => value >= -evenWithinStops));
  return {
    columns,
    rows,
    stops,
    percent: stops.map((value) => 100 * 2 ** value),
    worstToBestRatio: 2 ** range.stops,
    worstToBestStops: range.stops,
    lowerStops: range.lower,
    upperStops: range.upper,
    sigmaStops: range.sigmaStops,
    zones: light.zones,
    beyondStops,
    noiseStops: light.noiseStops,
    withinTenthShare: stops.filter((value) => value >= -evenWithinStops).length / stops.length,
    best: cells[top]!,
    worst: cells[bottom]!,
    workArea: {
      ...area,
      widthMm: widthMm === undefined ? null : area.width * widthMm,
      heightMm: heightMm === undefined ? null : area.height * heightMm,
    },
    contours: contoursOf(stops, -stops[bottom]!),
    places: places.map((place) => ({ x: place.x, y: place.y, stops: place.stops - values[top]! })),
  };
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
