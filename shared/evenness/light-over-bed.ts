// What a few measured places tell of the light over all of a bed: the lamp's own geometry with free strengths of its
// parts, and a smooth remainder, over all plausible sizes of both.
import { choleskyFactor, choleskySolve, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { shortestRange } from "#shared/statistics/shortest-range.ts";
import { drawerOf } from "./bed-draws.ts";
import { covarianceOf, drawnWorld, type Lit, type World } from "./bed-worlds.ts";
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
/**
 * Worlds are thought of by so many, until as many as `worldsEnough` would tell as much if all were alike likely. Where
 * `worldsAtMost` are not enough, what was measured is a rare case: the few that fit it are no fair choice of all that
 * would, so that likelihoods are flattened until enough count. `worldsDrawn` are kept, with so many draws of each.
 */
const worldsAtOnce = 1500;
const worldsEnough = 100;
const worldsAtMost = 7500;
/** Flattened step by step, by this power each. */
const flatterBy = 0.95;
const worldsDrawn = 96;
const drawsEach = 12;
/** The mean is of every second of them: it needs fewer than the ends of a range do. */
const meanOfEvery = 2;
const seed = 1;
/**
 * Share of draws outside the 95 % range. Of a hundred worlds, the k-th from the end has k of 101 of what is not drawn
 * beyond it: with half a rank at each end for drawing between them, 5 % lie outside what 4 % of the draws do.
 */
const outsideShare = 0.04;
/** A difference that no print shows counts as none [stops]. common practice, no source */
const leastStops = 0.08;

/**
 * The light over a bed from a few places.
 * @param drawFallOff draws one way in which it may fall
 * @param asked places at which its mean is wanted
 * @param named places that are held against the middle
 * Source: RasmussenWilliams2006 2.2 (prediction with noise); HoetingEtAl1999 (weighing).
 */
export function lightOverBed(
  places: readonly LitPlace[],
  drawFallOff: (random: Random) => FallOff,
  { asked, named }: { readonly asked: readonly BedPlace[]; readonly named: readonly BedPlace[] },
): BedLight {
  const along = (step: number): number => outermost + ((1 - 2 * outermost) * step) / (looked - 1);
  const grid = Array.from({ length: looked ** 2 }, (_, i) => ({
    x: along(i % looked),
    y: along(Math.floor(i / looked)),
  }));
  const seen = [...grid, { x: 0.5, y: 0.5 }, ...named];
  const random = seededRandom(seed);
  const thought: Weighed[] = [];
  while (thought.length < worldsAtMost && effectiveCount(weightsOf(thought)) < worldsEnough) {
    for (let n = 0; n < worldsAtOnce; n++) {
      const world = drawnWorld(drawFallOff(random), random);
      thought.push({ world, logWeight: solve(world, places).logWeight });
    }
  }
  const mean = new Float64Array(asked.length);
  const ranges: number[] = [];
  const beside = named.map((): number[] => []);
  let noiseStops = 0;
  for (const [turn, { world }] of drawnByWeight(thought, random.uniform()).entries()) {
    const each = solve(world, places);
    if (turn % meanOfEvery === 0) addMean(each, asked, mean);
    noiseStops += each.sigmas.reduce((sum, sigma) => sum + sigma, 0) / places.length / worldsDrawn;
    const draw = drawerOf({ ...each, seen: seen.map(each.world.litAt) });
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
  return {
    stops: [...mean],
    range: { stops: ranges[Math.floor(ranges.length / 2)]!, ...likeliest(ranges) },
    besideMiddle: beside.map(meanAndSigma),
    noiseStops,
  };
}

/**
 * The shortest range of what was drawn [stops]; from 0 where the bed may be even. A few tablets hardly tell kinds of
 * lamps apart, and under one kind a bed is more even than under the others: with equal shares beyond both ends, beds
 * under that kind would lie outside far more often than one in twenty.
 */
function likeliest(rising: readonly number[]): { lower: number; upper: number } {
  const shortest = shortestRange(rising, 1 - outsideShare);
  return shortest.lower < leastStops
    ? { lower: 0, upper: rising[Math.ceil((1 - outsideShare) * rising.length) - 1]! }
    : shortest;
}

/** How likely each is, the likeliest 1, to a power from 0 to 1. */
function weightsOf(thought: readonly Weighed[], power = 1): number[] {
  const most = thought.reduce((best, { logWeight }) => Math.max(best, logWeight), -Infinity);
  return thought.map(({ logWeight }) => Math.exp(power * (logWeight - most)));
}

/** Number of alike likely worlds that would tell as much. Source: from memory (effective number of weighed draws). */
function effectiveCount(weights: readonly number[]): number {
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return sum === 0 ? 0 : sum ** 2 / weights.reduce((total, weight) => total + weight ** 2, 0);
}

/** Worlds by systematic sampling: each as often as it is likely. Source: common practice, no source. */
function drawnByWeight(thought: readonly Weighed[], offset: number): Weighed[] {
  let weights = weightsOf(thought);
  for (let power = flatterBy; effectiveCount(weights) < worldsEnough; power *= flatterBy)
    weights = weightsOf(thought, power);
  const step = weights.reduce((sum, weight) => sum + weight, 0) / worldsDrawn;
  const drawn: Weighed[] = [];
  let next = offset * step;
  let sum = 0;
  thought.forEach((each, i) => {
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

interface Weighed {
  readonly world: World;
  readonly logWeight: number;
}

interface Solved extends Weighed {
  readonly known: readonly Lit[];
  /** Standard uncertainty of each measured place [stops]. */
  readonly sigmas: readonly number[];
  /** What was measured, less the mean before [stops]. */
  readonly right: readonly number[];
  /** Of the measured places' covariance, and what each of them weighs in a mean. */
  readonly factor: Float64Array;
  readonly weights: Float64Array;
}

function solve(world: World, places: readonly LitPlace[]): Solved {
  const n = places.length;
  const known = places.map(({ x, y }) => world.litAt({ x, y }));
  const sigmas = places.map(({ sigmaStops }) => world.noise * sigmaStops);
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) matrix[i * n + j] = covarianceOf(world, known[i]!, known[j]!);
    matrix[i * n + i]! += sigmas[i]! ** 2;
  }
  const factor = choleskyFactor(matrix, n);
  const right = places.map(({ stops }, i) => stops - world.share.mean * known[i]!.fall);
  const weights = choleskySolve(factor, right);
  const logWeight = right.reduce((sum, value, i) => sum - (value * weights[i]!) / 2, -logDeterminantOf(factor, n) / 2);
  return { world, known, logWeight, sigmas, right, factor, weights };
}

/** Adds a world's mean at each place asked for, as one of those drawn. */
function addMean({ world, known, weights }: Solved, asked: readonly BedPlace[], mean: Float64Array): void {
  asked.forEach((place, i) => {
    const lit = world.litAt(place);
    let value = world.share.mean * lit.fall;
    for (let k = 0; k < weights.length; k++) value += weights[k]! * covarianceOf(world, lit, known[k]!);
    mean[i]! += (value * meanOfEvery) / worldsDrawn;
  });
}
