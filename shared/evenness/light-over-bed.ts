// What a few measured places tell of the light over all of a bed: the lamp's own geometry with free strengths of its
// parts, and a smooth remainder, over all plausible sizes of both.
import { choleskyFactor, choleskySolve, forwardSubstitute, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { bedUnder, type Bed, type Products } from "./bed-products.ts";
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

/** One plausible size of everything that is not known. */
interface World {
  readonly bed: Bed;
  /** How much of the lamp's own fall-off there is; reflectors and stray light flatten it: mean and sigma. */
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
  { mean: 0.75, sigma: 0.3, chance: 0.75 },
  { mean: 0.1, sigma: 0.12, chance: 0.25 },
];
const partSigmas = [
  { sigma: 0.03, chance: 0.35 },
  { sigma: 0.1, chance: 0.4 },
  { sigma: 0.25, chance: 0.25 },
];
const rests = [
  { sigma: 0.01, reach: 0.6, chance: 0.35 },
  { sigma: 0.04, reach: 0.3, chance: 0.15 },
  { sigma: 0.04, reach: 0.7, chance: 0.2 },
  { sigma: 0.12, reach: 0.3, chance: 0.12 },
  { sigma: 0.12, reach: 0.7, chance: 0.18 },
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
const levelSigma = 2;
/**
 * Every place differs by this from its smooth light, so that rounding stays small beside it [stops]. common practice,
 * no source
 */
const grain = 0.003;
/** Bed looked at for its strongest and weakest place, from the middles of the outermost cells. */
const looked = 9;
const outermost = 1 / 48;
/** So many worlds, each as often as it is likely, and so many draws of each. */
const worldsDrawn = 32;
const drawsEach = 60;
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
  const grid = Array.from({ length: looked ** 2 }, (_, i) => ({
    x: outermost + ((1 - 2 * outermost) * (i % looked)) / (looked - 1),
    y: outermost + ((1 - 2 * outermost) * Math.floor(i / looked)) / (looked - 1),
  }));
  const seen = [...grid, { x: 0.5, y: 0.5 }, ...named];
  const beds = fallOffs.map((fallOff) => bedUnder(fallOff, { places, seen, asked }));
  const solved = beds.flatMap((bed) => worldsOf(bed, fallOffs.length).map((world) => solve(world, places)));
  const random = seededRandom(seed);
  const mean = new Float64Array(asked.length);
  const ranges: number[] = [];
  const beside = named.map((): number[] => []);
  let noiseStops = 0;
  for (const each of drawnByWeight(solved, random.uniform())) {
    each.addMean(mean, 1 / worldsDrawn);
    noiseStops += each.noiseStops / worldsDrawn;
    const draw = drawerOf(each);
    for (let n = 0; n < drawsEach; n++) {
      const values = draw(random.normal);
      const onGrid = values.subarray(0, grid.length);
      ranges.push(Math.max(...onGrid) - Math.min(...onGrid));
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

function worldsOf(bed: Bed, fallOffs: number): World[] {
  return shares.flatMap((share) =>
    (bed.hasParts ? partSigmas : [{ sigma: 0, chance: 1 }]).flatMap((part) =>
      rests.flatMap((rest) =>
        slopes.flatMap((slope) =>
          noises.map((noise) => ({
            bed,
            share,
            partSigma: part.sigma,
            rest,
            slopeSigma: slope.sigma,
            noise: noise.factor,
            logPrior: Math.log((share.chance * part.chance * rest.chance * slope.chance * noise.chance) / fallOffs),
          })),
        ),
      ),
    ),
  );
}

interface Solved {
  readonly world: World;
  readonly logWeight: number;
  readonly noiseStops: number;
  /** Of the measured places' covariance, and what each of them weighs in a mean. */
  readonly factor: Float64Array;
  readonly weights: Float64Array;
  readonly addMean: (to: Float64Array, share: number) => void;
}

/** Covariance of each pair in one world [stops squared]. */
function covariances({ share, partSigma, rest, slopeSigma }: World, products: Products): Float64Array {
  const ofParts = (partSigma / Math.LN2) ** 2;
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

function solve(world: World, places: readonly LitPlace[]): Solved {
  const { bed, share } = world;
  const n = places.length;
  const matrix = covariances(world, bed.knownKnown);
  let noiseStops = 0;
  places.forEach(({ sigmaStops }, i) => {
    const sigma = world.noise * sigmaStops;
    noiseStops += sigma / n;
    matrix[i * n + i]! += sigma ** 2;
  });
  const factor = choleskyFactor(matrix, n);
  const right = places.map(({ stops }, i) => stops - share.mean * bed.known[i]!.fall);
  const weights = choleskySolve(factor, right);
  const logWeight = right.reduce(
    (sum, value, i) => sum - (value * weights[i]!) / 2,
    world.logPrior - logDeterminantOf(factor, n) / 2,
  );
  return {
    world,
    logWeight,
    noiseStops,
    factor,
    weights,
    addMean(to, part) {
      const through = covariances(world, bed.askedKnown);
      bed.asked.forEach(({ fall }, i) => (to[i]! += part * (share.mean * fall + dot(through, weights, i))));
    },
  };
}

/** A row of a matrix times a vector. */
function dot(matrix: Float64Array, vector: Float64Array, row: number): number {
  const n = vector.length;
  return vector.reduce((sum, value, k) => sum + value * matrix[row * n + k]!, 0);
}

/** Makes draws of the light at the places that are looked at, given normal numbers. */
function drawerOf({ world, factor, weights }: Solved): (normal: () => number) => Float64Array {
  const { bed, share } = world;
  const [n, m] = [weights.length, bed.seen.length];
  const toKnown = covariances(world, bed.seenKnown);
  const left = covariances(world, bed.seenSeen);
  const through = bed.seen.map((_, i) => forwardSubstitute(factor, toKnown.subarray(i * n, (i + 1) * n)));
  for (let i = 0; i < m; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += through[i]![k]! * through[j]![k]!;
      left[i * m + j]! -= sum;
    }
    left[i * m + i]! += grain ** 2;
  }
  const root = choleskyFactor(left, m, { leastPivot: grain ** 2 });
  const means = bed.seen.map(({ fall }, i) => share.mean * fall + dot(toKnown, weights, i));
  return (normal) => {
    const chances = Float64Array.from({ length: m }, normal);
    return Float64Array.from(means, (mean, i) => {
      let value = mean;
      for (let k = 0; k <= i; k++) value += root[i * m + k]! * chances[k]!;
      return value;
    });
  };
}
