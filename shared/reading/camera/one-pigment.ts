// A print of one pigment: its densities in green and blue light run in nearly fixed proportion to that in red. Stray
// light bends those proportions one way, a camera's raised saturation the other, its tone curve in ways of its own, so
// a strip tells part of all three, as far as the proportions are known.
import { determinantOf } from "#shared/density/matrix.ts";
import { choleskyFactor, choleskySolve, forwardSubstitute, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";
import { camerasOfGrid, costBefore, type Camera } from "./cameras-tried.ts";
import {
  besideRed,
  proportionalDensity,
  proportionalSlope,
  usualProportions,
  type UsualProportions,
} from "./pigment-proportions.ts";
import { channels, undo, type PlainStep } from "./undone-step.ts";

/** Density of one step above paper in one channel, as the picture shows it. */
export interface SeenDensity {
  readonly density: number;
  /** Standard uncertainty that is this step's alone. */
  readonly sigma: number;
  /** How far each of the unknowns of the tone curve, at one standard deviation, moves it; as many for every step. */
  readonly moves: Float64Array;
}

/** One step in all channels. */
export interface SeenStep {
  readonly red: SeenDensity;
  readonly green: SeenDensity;
  readonly blue: SeenDensity;
}

export interface OnePigment {
  /** Red density of each step without stray light, raised saturation and what is told of the tone curve. */
  readonly red: readonly (number | null)[];
  /** ... and its densities in green and blue. */
  readonly green: readonly (number | null)[];
  readonly blue: readonly (number | null)[];
  /** Standard uncertainty of each by what the strip leaves open about all of them: common to all steps. */
  readonly sigma: readonly number[];
  readonly flareShare: number;
  readonly flareSigma: number;
  /** How many times the camera multiplies differences between channels. */
  readonly chroma: number;
  readonly chromaSigma: number;
}

/** A step strays from one proportion by so much at least, by stain and coating [density]. common practice, no source */
const leastSigma = 0.004;
/** Fewer steps tell too little of two unknowns and a proportion. common practice, no source */
const fewestSteps = 6;

/** How well one camera goes with one pigment. */
interface Tried extends Camera {
  /** Twice the negative logarithm of how likely it is: what the strip says about it, and the rest. */
  readonly misfit: number;
  readonly cost: number;
}

/**
 * Red densities with stray light and raised saturation taken off, as far as the strip tells them.
 * @param steps null for steps that say nothing
 * @returns null with fewer than six steps
 * Source: common practice, no source (Bayes on a grid of stray light, saturation and kind of channels; at each, tone
 *   curve and proportions are normal and integrated out)
 */
export function undoneByOnePigment(steps: readonly (SeenStep | null)[]): OnePigment | null {
  const known = steps.filter((step) => step !== null);
  if (known.length < fewestSteps) return null;
  const space = spaceFor(known);
  const tried: Tried[] = [];
  for (const camera of camerasOfGrid()) {
    const solved = solvedAt(known, camera, space);
    if (solved !== null) tried.push({ ...camera, misfit: solved.misfit, cost: solved.cost });
  }
  if (tried.length === 0) return null;
  const freedom = Math.max(1, 2 * (known.length - 2));
  const scale = Math.max(1, Math.min(...tried.map(({ misfit }) => misfit)) / freedom);
  const costs = tried.map(({ misfit, cost }) => misfit / scale + cost);
  const best = Math.min(...costs);
  const likely = tried
    .map((one, k) => ({ one, weight: Math.exp((best - costs[k]!) / 2) }))
    .filter(({ weight }) => weight > leastWeight)
    .map(({ one, weight }) => {
      const solution = solvedAt(known, one, space)!;
      return { ...one, weight, reds: redsAt(solution, scale), beside: densitiesBesideRed(known, one, solution) };
    });
  const total = likely.reduce((sum, { weight }) => sum + weight, 0);
  const spread = (values: (one: number) => number, variances: (one: number) => number = () => 0) => {
    let mean = 0;
    for (let k = 0; k < likely.length; k++) mean += (likely[k]!.weight / total) * values(k);
    let variance = 0;
    for (let k = 0; k < likely.length; k++)
      variance += (likely[k]!.weight / total) * (variances(k) + (values(k) - mean) ** 2);
    return { mean, sigma: Math.sqrt(variance) };
  };
  const ofKnown = known.map((_, i) =>
    spread(
      (k) => likely[k]!.reds.densities[i]!,
      (k) => likely[k]!.reds.variances[i]!,
    ),
  );
  const flare = spread((k) => likely[k]!.flare);
  const chroma = spread((k) => likely[k]!.chroma);
  let at = 0;
  const ofSteps = steps.map((step) => {
    if (step === null) return null;
    const i = at++;
    return { ...ofKnown[i]!, beside: [0, 1].map((c) => spread((k) => likely[k]!.beside[c]![i]!).mean) };
  });
  return {
    red: ofSteps.map((each) => each?.mean ?? null),
    green: ofSteps.map((each) => each?.beside[0] ?? null),
    blue: ofSteps.map((each) => each?.beside[1] ?? null),
    sigma: ofSteps.map((each) => each?.sigma ?? 0),
    flareShare: flare.mean,
    flareSigma: flare.sigma,
    chroma: chroma.mean,
    chromaSigma: chroma.sigma,
  };
}

/** Room for one solution, filled anew for each. */
interface Space {
  readonly curveSize: number;
  readonly normal: Float64Array;
  readonly right: Float64Array;
  /** Terms of each step's red density, in the unknowns. */
  readonly redTerms: readonly Float64Array[];
  readonly terms: Float64Array;
  /** How the seen densities move the one that is added: in red, green and blue. */
  readonly bySeen: Float64Array;
  /** What the channel that was added last says: its square in units of its variance, and that variance. */
  readonly said: Float64Array;
  /** Light of each step as seen, in all channels, paper 1. */
  readonly lights: readonly Float64Array[];
  readonly plain: PlainStep;
}

function spaceFor(steps: readonly SeenStep[]): Space {
  const curveSize = steps[0]!.red.moves.length;
  const size = curveSize + usualProportions.broad.mean.length;
  return {
    curveSize,
    normal: new Float64Array(size * size),
    right: new Float64Array(size),
    redTerms: steps.map(() => new Float64Array(size)),
    terms: new Float64Array(size),
    bySeen: new Float64Array(channels),
    said: new Float64Array(2),
    lights: steps.map(({ red, green, blue }) =>
      Float64Array.of(10 ** -red.density, 10 ** -green.density, 10 ** -blue.density),
    ),
    plain: { densities: new Float64Array(channels), slopes: new Float64Array(channels * channels) },
  };
}

/** The channels beside red: their row among the slopes, and where their terms begin among the proportions'. */
const channelsBesideRed = [
  { row: 1, from: besideRed.green },
  { row: 2, from: besideRed.blue },
] as const;
/** Solutions less likely than this beside the likeliest move no uncertainty by more than about 2 %. */
const leastWeight = 1e-3;

interface Solution {
  readonly misfit: number;
  readonly cost: number;
  readonly factor: Float64Array;
  readonly solved: Float64Array;
  readonly space: Space;
  readonly plainReds: readonly number[];
}

/**
 * What remains of the densities beside red, as linear in all unknowns: tone curve first, then proportions. Each unknown
 * is normal with a mean of zero and a standard deviation of one.
 * @returns null where no light would be left of a step
 */
function solvedAt(steps: readonly SeenStep[], camera: Camera, space: Space): Solution | null {
  const { normal, right, redTerms, plain, said } = space;
  const { proportions } = camera;
  const size = right.length;
  normal.fill(0);
  right.fill(0);
  for (let k = 0; k < size; k++) normal[k * size + k] = 1;
  const plainReds: number[] = [];
  let [squares, logs] = [0, 0];
  for (let i = 0; i < steps.length; i++) {
    const step = steps[i]!;
    if (!undo(space.lights[i]!, camera, plain)) return null;
    plainReds.push(plain.densities[0]!);
    curveTerms(redTerms[i]!, step, space, plain.slopes);
    logs -= 2 * Math.log(Math.abs(determinantOf(plain.slopes)) / plain.slopes[0]!);
    for (const channel of channelsBesideRed) {
      addChannel(step, space, channel, proportions);
      squares += said[0]!;
      logs += Math.log(said[1]!);
    }
  }
  const factor = choleskyFactor(normal, size);
  const solved = choleskySolve(factor, right);
  return {
    misfit: squares - dotProduct(right, solved),
    cost: logs + logDeterminantOf(factor, size) + costBefore(camera),
    factor,
    solved,
    space,
    plainReds,
  };
}

/** How the unknowns of the curve move a density. @param by how the seen ones move it: in red, green and blue */
function curveTerms(terms: Float64Array, { red, green, blue }: SeenStep, { curveSize }: Space, by: Float64Array): void {
  for (let k = 0; k < curveSize; k++)
    terms[k] = by[0]! * red.moves[k]! + by[1]! * green.moves[k]! + by[2]! * blue.moves[k]!;
}

/** Adds what a channel's density beside red says of the unknowns. Nothing is made anew here: it runs 20 000 times. */
function addChannel(
  step: SeenStep,
  space: Space,
  { row, from }: (typeof channelsBesideRed)[number],
  { mean, moves }: UsualProportions,
): void {
  const { curveSize, normal, right, terms, bySeen, said, plain } = space;
  const { densities, slopes } = plain;
  const red = densities[0]!;
  const slope = proportionalSlope(mean, from, red);
  for (let c = 0; c < channels; c++) bySeen[c] = slopes[row * channels + c]! - slope * slopes[c]!;
  curveTerms(terms, step, space, bySeen);
  for (let k = 0; k < moves.length; k++) terms[curveSize + k] = -proportionalDensity(moves[k]!, from, red);
  const value = densities[row]! - proportionalDensity(mean, from, red);
  const variance =
    leastSigma ** 2 +
    (step.red.sigma * bySeen[0]!) ** 2 +
    (step.green.sigma * bySeen[1]!) ** 2 +
    (step.blue.sigma * bySeen[2]!) ** 2;
  const size = right.length;
  for (let j = 0; j < size; j++) {
    const weighted = terms[j]! / variance;
    // Green says nothing of blue's proportions.
    if (weighted === 0) continue;
    right[j]! -= weighted * value;
    for (let k = 0; k <= j; k++) normal[j * size + k]! += weighted * terms[k]!;
  }
  said[0] = value ** 2 / variance;
  said[1] = variance;
}

/** Densities of each step in green and in blue by a solution: as its red one, without what the camera did. */
function densitiesBesideRed(steps: readonly SeenStep[], camera: Camera, { solved, space }: Solution): Float64Array[] {
  const { lights, plain, curveSize, terms, bySeen } = space;
  const densities = channelsBesideRed.map(() => new Float64Array(steps.length));
  for (const [i, step] of steps.entries()) {
    undo(lights[i]!, camera, plain);
    for (const [c, { row }] of channelsBesideRed.entries()) {
      for (let from = 0; from < channels; from++) bySeen[from] = plain.slopes[row * channels + from]!;
      curveTerms(terms, step, space, bySeen);
      let moved = 0;
      for (let k = 0; k < curveSize; k++) moved += terms[k]! * solved[k]!;
      densities[c]![i] = plain.densities[row]! + moved;
    }
  }
  return densities;
}

/** Red density of each step by a solution, and its variance. @param scale of all variances, as the strip shows it */
function redsAt(
  { factor, solved, space, plainReds }: Solution,
  scale: number,
): { readonly densities: Float64Array; readonly variances: Float64Array } {
  const densities = Float64Array.from(plainReds);
  const variances = new Float64Array(densities.length);
  for (let i = 0; i < densities.length; i++) {
    const terms = space.redTerms[i]!;
    const each = forwardSubstitute(factor, terms);
    densities[i]! += dotProduct(terms, solved);
    variances[i] = scale * dotProduct(each, each);
  }
  return { densities, variances };
}
