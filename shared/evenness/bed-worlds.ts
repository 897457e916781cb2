// Plausible sizes of everything that is not known of the light over a bed.
import type { Bed, Products } from "./bed-products.ts";

/** One plausible size of everything that is not known. */
export interface World {
  readonly bed: Bed;
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
  readonly logPrior: number;
}

/** Sizes with their chances beforehand. common practice, no source */
const shares = [
  { mean: 1, sigma: 0.12, chance: 0.8 },
  { mean: 0.25, sigma: 0.25, chance: 0.2 },
];
const partSigmas = [
  { sigma: 0.03, chance: 0.35 },
  { sigma: 0.1, chance: 0.4 },
  { sigma: 0.25, chance: 0.25 },
];
const rests = [
  { sigma: 0.01, reach: 0.6, chance: 0.45 },
  { sigma: 0.04, reach: 0.3, chance: 0.15 },
  { sigma: 0.04, reach: 0.7, chance: 0.2 },
  { sigma: 0.12, reach: 0.3, chance: 0.06 },
  { sigma: 0.12, reach: 0.7, chance: 0.14 },
];
const slopes = [
  { sigma: 0.02, chance: 0.5 },
  { sigma: 0.15, chance: 0.35 },
  { sigma: 0.4, chance: 0.15 },
];
const noises = [
  { factor: 1, chance: 0.7 },
  { factor: 1.6, chance: 0.3 },
];
/** The level of the light is not known at all [stops]. common practice, no source */
export const levelSigma = 2;

/** Every world of a bed under one fall-off. */
export function worldsOf(bed: Bed): World[] {
  return shares.flatMap((share) =>
    (bed.partCount > 0 ? partSigmas : [{ sigma: 0, chance: 1 }]).flatMap((part) =>
      rests.flatMap((rest) =>
        slopes.flatMap((slope) =>
          noises.map((noise) => ({
            bed,
            share,
            partSigma: part.sigma,
            rest,
            slopeSigma: slope.sigma,
            noise: noise.factor,
            logPrior: Math.log(bed.chance * share.chance * part.chance * rest.chance * slope.chance * noise.chance),
          })),
        ),
      ),
    ),
  );
}

/** Variance of a part's share of the light [stops squared]. */
export function partVariance({ partSigma }: Pick<World, "partSigma">): number {
  return (partSigma / Math.LN2) ** 2;
}

/** Covariance of each pair in one world [stops squared]. */
export function covariances(world: World, products: Products): Float64Array {
  const { share, rest, slopeSigma } = world;
  const ofParts = partVariance(world);
  const ofRest = -1 / (2 * rest.reach ** 2);
  return products.falls.map(
    (fall, i) =>
      levelSigma ** 2 +
      share.sigma ** 2 * fall +
      slopeSigma ** 2 * products.slopes[i]! +
      ofParts * products.parts[i]! +
      rest.sigma ** 2 * Math.exp(ofRest * products.squares[i]!),
  );
}
