// What is known of the light over a bed, however it was found.
import type { EvennessZone } from "#shared/schema/evenness.ts";
import type { BedPlace } from "./lamp-over-bed.ts";

/** A place of the bed where light was measured. */
export interface MeasuredPlace extends BedPlace {
  /** Relative irradiance [stops]; any zero. */
  readonly stops: number;
  /** Standard uncertainty of `stops`, where it is known without the map: a tablet's, from its many steps. */
  readonly sigmaStops?: number;
}

/** Strongest less weakest place [stops]. */
interface LightRange {
  readonly stops: number;
  /** 95 % range. */
  readonly lower: number;
  readonly upper: number;
  readonly sigmaStops: number;
}

export interface DrawnLight {
  /** At each cell asked for [stops]; any zero. */
  readonly values: readonly number[];
  /** @param top strongest, and @param bottom weakest cell of the map */
  readonly rangeBetween: (top: BedPlace, bottom: BedPlace) => LightRange;
  /** What the map adds at a place beyond the outermost measured ones [stops]; 0 among them. */
  readonly carriedOn: (place: BedPlace) => number;
  /** Each ninth of the bed. */
  readonly zones: readonly EvennessZone[];
  readonly noiseStops: number;
}

const thirds = [1 / 6, 0.5, 5 / 6];

/** Middles of the ninths of a bed, row by row, back left first. */
export const zonePlaces: readonly BedPlace[] = thirds.flatMap((y) => thirds.map((x) => ({ x, y })));

/** The place among the measured ones, as far as their widths and depths reach, that is nearest. */
export function withinMeasured(places: readonly BedPlace[], at: BedPlace): BedPlace {
  const held = (axis: "x" | "y"): number =>
    Math.min(
      Math.max(...places.map((place) => place[axis])),
      Math.max(Math.min(...places.map((place) => place[axis])), at[axis]),
    );
  return { x: held("x"), y: held("y") };
}
