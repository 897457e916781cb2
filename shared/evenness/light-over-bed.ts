// What a few measured places tell of the light over all of a bed: the lamp's own geometry with free strengths of its
// parts, and a smooth remainder, over all plausible sizes of both.
import { choleskyFactor, choleskySolve, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { drawerOf } from "./bed-draws.ts";
import { bedUnder } from "./bed-products.ts";
import { covariances, worldsOf, type World } from "./bed-worlds.ts";
import type { BedPlace, FallOff } from "./lamp-over-bed.ts";

/** A place with its light. */
export interface LitPlace extends BedPlace {
  /** Relative irradiance [stops]; any zero. */
  readonly stops: number;
  /** Standard uncertainty of it. */
  readonly sigmaStops: number;
}

export interface BedLight {
  /** Mean at each place asked for [stops]; any zero. */
  readonly stops: readonly number[];
  /** Strongest less weakest place [stops]: median and 95 % range. */
  readonly range: { readonly stops: number; readonly lower: number; readonly upper: number };
  /** Each named place less the middle of the bed [stops], with its standard uncertainty. */
  readonly besideMiddle: readonly { readonly stops: number; readonly sigmaStops: number }[];
  /** Standard deviation of a single place about the light [stops]. */
  readonly noiseStops: number;
}

/**
 * Bed looked at for its strongest and weakest place, from the middles of the outermost cells: so closely that what lies
 * between two tubes is seen.
 */
const looked = 16;
const outermost = 1 / 48;
/** So many worlds, each as often as it is likely, and so many draws of each. */
const worldsDrawn = 32;
const drawsEach = 40;
const seed = 1;
/** A difference that no print shows counts as none [stops]. common practice, no source */
const leastStops = 0.08;

/**
 * The light over a bed from a few places.
 * @param fallOffs ways in which it may fall, at least one
 * @param asked places at which its mean is wanted
 * @param named places that are held against the middle
 * Source: RasmussenWilliams2006 2.2 (prediction with noise); HoetingEtAl1999 (weighing).
 */
export function lightOverBed(
  places: readonly LitPlace[],
  fallOffs: readonly FallOff[],
  { asked, named }: { readonly asked: readonly BedPlace[]; readonly named: readonly BedPlace[] },
): BedLight {
  const along = (step: number): number => outermost + ((1 - 2 * outermost) * step) / (looked - 1);
  const grid = Array.from({ length: looked ** 2 }, (_, i) => ({
    x: along(i % looked),
    y: along(Math.floor(i / looked)),
  }));
  const seen = [...grid, { x: 0.5, y: 0.5 }, ...named];
  const beds = fallOffs.map((fallOff) => bedUnder(fallOff, { places, seen, asked }));
  const solved = beds.flatMap((bed) => worldsOf(bed).map((world) => solve(world, places)));
  const random = seededRandom(seed);
  const mean = new Float64Array(asked.length);
  const ranges: number[] = [];
  const beside = named.map((): number[] => []);
  let noiseStops = 0;
  for (const each of drawnByWeight(solved, random.uniform())) {
    addMean(each, mean);
    noiseStops += each.sigmas.reduce((sum, sigma) => sum + sigma, 0) / places.length / worldsDrawn;
    const draw = drawerOf(each);
    for (let n = 0; n < drawsEach; n++) {
      const values = draw(random.normal);
      let [least, most] = [Infinity, -Infinity];
      for (let i = 0; i < grid.length; i++) {
        least = Math.min(least, values[i]!);
        most = Math.max(most, values[i]!);
      }
      ranges.push(most - least);
      named.forEach((_, i) => beside[i]!.push(values[grid.length + 1 + i]! - values[grid.length]!));
    }
  }
  ranges.sort((a, b) => a - b);
  const quantile = (share: number): number => ranges[Math.floor(share * ranges.length)]!;
  const lower = quantile(0.025);
  return {
    stops: [...mean],
    range: { stops: quantile(0.5), lower: lower < leastStops ? 0 : lower, upper: quantile(0.975) },
    besideMiddle: beside.map(meanAndSigma),
    noiseStops,
  };
}

/** Worlds by systematic sampling: each as often as it is likely. Source: common practice, no source. */
function drawnByWeight(solved: readonly Solved[], offset: number): Solved[] {
  const most = Math.max(...solved.map(({ logWeight }) => logWeight));
  const weights = solved.map(({ logWeight }) => Math.exp(logWeight - most));
  const step = weights.reduce((sum, weight) => sum + weight, 0) / worldsDrawn;
  const drawn: Solved[] = [];
  let next = offset * step;
  let sum = 0;
  solved.forEach((each, i) => {
    sum += weights[i]!;
    for (; next < sum && drawn.length < worldsDrawn; next += step) drawn.push(each);
  });
  return drawn;
}

function meanAndSigma(values: readonly number[]): { stops: number; sigmaStops: number } {
  const stops = values.reduce((sum, value) => sum + value, 0) / values.length;
  const variance = values.reduce((sum, value) => sum + (value - stops) ** 2, 0) / values.length;
  return { stops, sigmaStops: Math.sqrt(variance) };
}

interface Solved {
  readonly world: World;
  readonly logWeight: number;
  /** Standard uncertainty of each measured place [stops]. */
  readonly sigmas: readonly number[];
  /** What was measured, less the mean before [stops]. */
  readonly right: readonly number[];
  /** Of the measured places' covariance, and what each of them weighs in a mean. */
  readonly factor: Float64Array;
  readonly weights: Float64Array;
}

function solve(world: World, places: readonly LitPlace[]): Solved {
  const { bed, share } = world;
  const n = places.length;
  const matrix = covariances(world, bed.knownKnown);
  const sigmas = places.map(({ sigmaStops }) => world.noise * sigmaStops);
  sigmas.forEach((sigma, i) => (matrix[i * n + i]! += sigma ** 2));
  const factor = choleskyFactor(matrix, n);
  const right = places.map(({ stops }, i) => stops - share.mean * bed.known[i]!.fall);
  const weights = choleskySolve(factor, right);
  const logWeight = right.reduce(
    (sum, value, i) => sum - (value * weights[i]!) / 2,
    world.logPrior - logDeterminantOf(factor, n) / 2,
  );
  return { world, logWeight, sigmas, right, factor, weights };
}

/** Adds a world's mean at each place asked for, as one of those drawn. */
function addMean({ world, weights }: Solved, mean: Float64Array): void {
  const { bed, share } = world;
  const through = covariances(world, bed.askedKnown());
  const n = weights.length;
  bed.asked().forEach(({ fall }, i) => {
    let value = share.mean * fall;
    for (let k = 0; k < n; k++) value += weights[k]! * through[i * n + k]!;
    mean[i]! += value / worldsDrawn;
  });
}
