// Coating beside the strip that no tablet covered: it got the whole exposure at every place, so what is left of its
// changes along the strip is the coating's own. One strip cannot tell these from its curve; the coating beside it can.
import type { BesidePatch } from "#shared/schema/reading.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { belonging } from "#shared/statistics/robust.ts";
import { usualGrainDensity } from "./coating-grain.ts";

/** How the coating was seen to change along the strip: to an end, and in its bow, as shares of density. */
export interface CoatingShown {
  readonly gradient: number;
  readonly gradientSigma: number;
  readonly bow: number;
  readonly bowSigma: number;
}

/** Fewer patches on a side, or a shorter stretch of the strip's 2, show no change. common practice, no source */
const fewestPatches = 6;
const leastStretch = 1.4;
/**
 * Patches paler than this share of the strip's darkest step, or darker by this factor, are no coating that got the
 * whole exposure. Common practice, no source.
 */
const palestShare = 0.85;
const darkestShare = 1.3;
/** How far the coating beside the strip may change otherwise than under it, each side [share]. From rendered prints. */
const sidewaysShare = 0.006;
/** The square of that is known beforehand as well as from so many such differences. Common practice, no source. */
const sidewaysKnown = 2;
/** How much the light may differ along a strip, to an end [log H]. Common practice, no source. */
const lightLogH = 0.02;
/** Neighbouring patches are never taken to be more alike than this. Common practice, no source. */
const mostAlike = 0.8;
/** Fits of a side, each without the patches that lay far from the one before. */
const rounds = 3;

/** What the strip says of how dense coating beside it should be, and what is known of such coatings beforehand. */
interface Seen {
  readonly channel: "red" | "visual";
  /** Density of the strip's darkest step. */
  readonly darkest: number;
  /** What the most exposed steps still gain for each further log H, as a share of their density. */
  readonly stillClimbing: number;
  /** Standard deviations known beforehand, shares. */
  readonly sizes: { readonly coatingGradient: number; readonly coatingBow: number };
}

/**
 * The coating's change along the strip, from the coating beside it.
 * @param patches densities along one or both long sides, place -1 at the strip's first step to 1 at its last
 * @returns null where too little of it is seen
 * Source: weighted least squares, without patches far from the rest (IglewiczHoaglin1993); the normal distribution's
 *   conjugate update from memory.
 */
export function coatingBeside(
  patches: readonly BesidePatch[],
  { channel, darkest, stillClimbing, sizes }: Seen,
): CoatingShown | null {
  const sides = (["above", "below"] as const).flatMap((side) => {
    const line = alongSide(
      patches
        .filter((patch) => patch.side === side)
        .map((patch) => ({
          place: patch.place,
          density: patch[channel],
          sigma: Math.hypot(patch.sigma, usualGrainDensity),
        }))
        .filter(({ density }) => density > palestShare * darkest && density < darkestShare * darkest),
    );
    return line === null ? [] : [line];
  });
  if (sides.length === 0) return null;
  const light = Math.max(0, stillClimbing) * lightLogH;
  const gradients = sides.map((side) => side.gradient);
  const bows = sides.map((side) => side.bow);
  const sidewaysFactor = Math.sqrt(sidewaysVarianceFactor([gradients, bows]));
  const joined = (values: readonly Estimate[], size: number) =>
    heldBy(
      {
        value: meanOf(values),
        sigma: Math.hypot(sidewaysFactor * Math.sqrt(expectedVariance(values)), light),
      },
      size,
    );
  const gradient = joined(gradients, sizes.coatingGradient);
  const bow = joined(bows, sizes.coatingBow);
  return { gradient: gradient.value, gradientSigma: gradient.sigma, bow: bow.value, bowSigma: bow.sigma };
}

const meanOf = (values: readonly Estimate[]) => values.reduce((sum, { value }) => sum + value, 0) / values.length;

/** Variance of the sides' mean about the change under the strip, as it is before the sides are held together. */
function expectedVariance(values: readonly Estimate[]): number {
  return values.reduce((sum, { sigma }) => sum + sigma ** 2 + sidewaysShare ** 2, 0) / values.length ** 2;
}

/**
 * By how much the sides show the variance of their mean to be larger or smaller than expected: how far they lie apart,
 * in slope and bow, tells of it with one degree of freedom each, beside what is known beforehand.
 * @returns 1 where one side alone was seen
 * Source: the mean of the inverse gamma distribution, conjugate to the variance of normal errors, from memory.
 */
function sidewaysVarianceFactor(pairs: readonly (readonly Estimate[])[]): number {
  const seen = pairs.filter((values) => values.length === 2);
  const squares = seen.map((values) => {
    const [one, other] = values;
    return ((one!.value - other!.value) / 2) ** 2 / expectedVariance(values);
  });
  return (sidewaysKnown + squares.reduce((sum, square) => sum + square, 0)) / (sidewaysKnown + seen.length);
}

interface Estimate {
  readonly value: number;
  readonly sigma: number;
}

interface SideLine {
  readonly gradient: Estimate;
  readonly bow: Estimate;
}

interface Placed {
  readonly place: number;
  readonly density: number;
  readonly sigma: number;
}

const bowedLine = (patches: readonly Placed[]) =>
  linearLeastSquares({
    design: patches.map(({ place }) => [1, place, place * place - 1 / 3]),
    response: patches.map(({ density }) => density),
    sigma: patches.map(({ sigma }) => sigma),
  });

const residualsAbout = (line: ReturnType<typeof bowedLine>, patches: readonly Placed[]) =>
  patches.map(({ place, density }) => {
    const [level, slope, bow] = line.coefficients;
    return density - level! - slope! * place - bow! * (place * place - 1 / 3);
  });

function alongSide(patches: readonly Placed[]): SideLine | null {
  const places = patches.map(({ place }) => place);
  if (patches.length < fewestPatches || Math.max(...places) - Math.min(...places) < leastStretch) return null;
  let kept = [...patches];
  let line = bowedLine(kept);
  for (let round = 1; round < rounds; round++) {
    const belongs = belonging(residualsAbout(line, patches));
    kept = patches.filter((_, i) => belongs[i]);
    if (kept.length < fewestPatches) return null;
    line = bowedLine(kept);
  }
  const [level, slope, bow] = line.coefficients;
  const scatter = Math.max(1, Math.sqrt(line.residualSumSquares / Math.max(1, line.degreesOfFreedom)));
  const alike = likeness(residualsAbout(line, kept));
  const sigmaOf = (k: number) => (alike * scatter * Math.sqrt(line.unscaledCovariance[k]![k]!)) / level!;
  return {
    gradient: { value: slope! / level!, sigma: sigmaOf(1) },
    bow: { value: bow! / level!, sigma: sigmaOf(2) },
  };
}

/**
 * How much less neighbours tell than as many independent patches would, since clouds and streaks of the coating are
 * wider than one: factor on an uncertainty, 1 or more.
 * Source: the variance of a mean of a first-order autoregressive series, from memory.
 */
function likeness(residuals: readonly number[]): number {
  const squares = residuals.reduce((sum, value) => sum + value * value, 0);
  if (!(squares > 0)) return 1;
  const products = residuals.slice(1).reduce((sum, value, i) => sum + value * residuals[i]!, 0);
  const share = Math.min(mostAlike, Math.max(0, products / squares));
  return Math.sqrt((1 + share) / (1 - share));
}

function heldBy({ value, sigma }: Estimate, size: number): Estimate {
  const share = size ** 2 / (size ** 2 + sigma ** 2);
  return { value: value * share, sigma: sigma * Math.sqrt(share) };
}
