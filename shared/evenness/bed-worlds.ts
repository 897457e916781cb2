// One plausible state of everything that is not known of the light over a bed, drawn by what is usual.
import { dotProduct } from "#shared/statistics/dot-product.ts";
import type { Random } from "#shared/statistics/random.ts";
import type { BedPlace, FallOff } from "./lamp-over-bed.ts";
import { drawnBetween, drawnUsual } from "./usual-lamps.ts";

/** A place under one fall-off: what that says of it, and the share of each part of the lamp in its light. */
export interface Lit {
  readonly place: BedPlace;
  /** Less the middle of the bed [stops]. */
  readonly fall: number;
  readonly parts: readonly number[];
}

export interface World {
  readonly partCount: number;
  readonly litAt: (place: BedPlace) => Lit;
  /** How much of the fall-off there is; a reflector may flatten it: mean and sigma. */
  readonly share: { readonly mean: number; readonly sigma: number };
  /** Strength of a part [natural logarithm, standard deviation]. */
  readonly partSigma: number;
  /** Of the smooth remainder: standard deviation [stops], and its reach as a share of the bed. */
  readonly rest: { readonly sigma: number; readonly reach: number };
  /** Slope from side to side [stops, standard deviation]: a lamp that hangs askew or off the middle. */
  readonly slopeSigma: number;
  /** The places' own uncertainty times this. */
  readonly noise: number;
}

/** How much of the fall-off there is, with and without a reflector that evens it out. common practice, no source */
const shares = { plain: { mean: 1, sigma: 0.12 }, evened: { mean: 0.25, sigma: 0.25 }, evenedChance: 0.2 } as const;
/**
 * Sizes of what else may differ: medians and factors of a standard deviation. Parts by the natural logarithm of their
 * strength, the remainder and slopes over the bed in stops, reaches as shares of the bed. common practice, no source
 */
const partSigmas = { median: 0.07, factor: 1.9 } as const;
const restSigmas = { median: 0.02, factor: 2.8 } as const;
const restReaches = { least: 0.3, most: 0.8 } as const;
const slopeSigmas = { median: 0.05, factor: 3 } as const;
const noises = { median: 1.05, factor: 1.25 } as const;
/** The level of the light is not known at all [stops]. common practice, no source */
export const levelSigma = 2;

/** A world in which light falls in this way. */
export function drawnWorld(fallOff: FallOff, random: Random): World {
  return {
    partCount: fallOff.partCount,
    litAt(place) {
      const { light, parts } = fallOff.at(place);
      return { place, fall: Math.log2(light / fallOff.middleLight), parts };
    },
    share: random.uniform() < shares.evenedChance ? shares.evened : shares.plain,
    partSigma: drawnUsual(random, partSigmas),
    rest: { sigma: drawnUsual(random, restSigmas), reach: drawnBetween(random, restReaches) },
    slopeSigma: drawnUsual(random, slopeSigmas),
    noise: drawnUsual(random, noises),
  };
}

/** Variance of a part's share of the light [stops squared]. */
export function partVariance({ partSigma }: Pick<World, "partSigma">): number {
  return (partSigma / Math.LN2) ** 2;
}

/** Covariance of the light at two places of a world [stops squared]. */
export function covarianceOf({ share, rest, slopeSigma, partSigma }: World, a: Lit, b: Lit): number {
  const [across, down] = [a.place.x - b.place.x, a.place.y - b.place.y];
  const slopes = (a.place.x - 0.5) * (b.place.x - 0.5) + (a.place.y - 0.5) * (b.place.y - 0.5);
  return (
    levelSigma ** 2 +
    share.sigma ** 2 * a.fall * b.fall +
    slopeSigma ** 2 * slopes +
    partVariance({ partSigma }) * dotProduct(a.parts, b.parts) +
    rest.sigma ** 2 * Math.exp(-(across ** 2 + down ** 2) / (2 * rest.reach ** 2))
  );
}
