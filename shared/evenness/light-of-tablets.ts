// The light over a bed from tablets that lay on it.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { withinMeasured, zonePlaces, type DrawnLight } from "./drawn-light.ts";
import { drawnFallOff, type BedPlace, type KnownLamp } from "./lamp-over-bed.ts";
import { lightOverBed, type LitPlace } from "./light-over-bed.ts";

/**
 * @param lamp null where nothing is known of it
 * @param bed null where its size is not known
 * @param cells at which the light is wanted
 */
export function lightOfTablets(
  places: readonly LitPlace[],
  {
    lamp,
    bed,
    cells,
  }: {
    readonly lamp: KnownLamp | null;
    readonly bed: { readonly widthMm: number; readonly heightMm: number } | null;
    readonly cells: readonly BedPlace[];
  },
): DrawnLight {
  const light = lightOverBed(places, (random) => drawnFallOff(lamp, bed, random), { asked: cells, named: zonePlaces });
  const valueNear = ({ x, y }: BedPlace): number => {
    const distances = cells.map((cell) => (cell.x - x) ** 2 + (cell.y - y) ** 2);
    return light.stops[distances.indexOf(Math.min(...distances))]!;
  };
  const { stops, lower, upper } = light.range;
  return {
    values: light.stops,
    rangeBetween: () => ({ stops, lower, upper, sigmaStops: (upper - lower) / 2 / rangeSigmas }),
    carriedOn: (at) => valueNear(at) - valueNear(withinMeasured(places, at)),
    zones: zonePlaces.map((place, i) => ({ ...place, ...light.besideMiddle[i]! })),
    noiseStops: light.noiseStops,
  };
}
