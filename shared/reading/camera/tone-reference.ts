// Undoes a camera's own tone curve and flare with patches of known density in the picture, and says how surely.
import { bisection } from "#shared/statistics/bisection.ts";
import { srgbFromLinear, linearFromSrgb } from "#shared/density/srgb.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import type { ReferenceTrouble } from "#shared/reading/reading-facts.ts";

/** One patch, in one colour channel. */
export interface PatchTone {
  /** True light of the patch: its reflectance times the light falling on it beside that on the strip. */
  readonly trueLight: number;
  /** Linear light as decoded from the picture (0-1). */
  readonly seen: number;
  /** Standard uncertainty of the seen light as a share of it. */
  readonly sigmaShare: number;
  /**
   * How far each of the light's own unknowns, at one standard deviation, moves the natural logarithm of the light on
   * this patch; as many for every patch.
   */
  readonly lightErrors: readonly number[];
}

export interface ToneCorrection {
  /** True light for decoded light. */
  readonly trueLight: (seen: number) => number;
  /** Standard uncertainty of the density difference between two corrected lights; greater away from the patches. */
  readonly sigmaBetween: (light: number, other: number) => number;
  /** Root mean square of what the patches still disagree by, in density. */
  readonly residualDensity: number;
  /** That disagreement beside what was to be expected: about 1 for patches that are what they are said to be. */
  readonly misfit: number;
  /** Flare as a share of a perfect white. */
  readonly flareShare: number;
}

/** Ends of the code scale, where an S-shaped curve has no inverse. */
const nearEnds = 0.002;
/**
 * How well the density of a patch of a reference chart is known: a constant part and one for each unit of density.
 * Source: camera-photometry note (2005 table of one chart beside averages of many: 0.0001, 0.0007, 0.0044, 0.0007,
 *   0.0049 and
 * 0.0124 at densities 0.05 to 1.5, which this line meets with a root mean square of 1.0).
 */
const patchSigma = { constant: 0.0015, perDensity: 0.004 };
/**
 * What cameras do, and how far from it they stray: flare, contrast, brightness of the curve.
 * Source: common practice, no source.
 */
const priors = { flare: 0.008, flareSigma: 0.012, contrastSigma: 0.35, shiftSigma: 0.6, gainSigma: 0.5 };
/**
 * Bumps of the curve that no S has: their number over the code scale, and how high they usually are (share of the
 * scale).
 * Source: common practice, no source.
 */
const bumps = { count: 8, sigma: 0.005 };
/** Gain, flare, contrast, shift. */
const shapeCount = 4;

const logit = (x: number) => {
  const held = Math.min(Math.max(x, nearEnds), 1 - nearEnds);
  return Math.log(held / (1 - held));
};
const sigmoid = (x: number) => 1 / (1 + Math.exp(-x));

/** Code that the bumps add; each is as wide as they lie apart. */
function bumpAt(code: number, p: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < bumps.count; k++) {
    const off = code * (bumps.count - 1) - k;
    if (Math.abs(off) < 5) sum += p[shapeCount + k]! * Math.exp(-0.5 * off * off);
  }
  return sum;
}

/** Light before the camera's curve, by [log gain, flare, log contrast, shift, bumps ...]. */
function undone(seen: number, p: readonly number[]): number {
  const code = srgbFromLinear(seen);
  const straight = sigmoid((logit(code) - p[3]!) / Math.exp(p[2]!)) + bumpAt(code, p);
  return Math.max(linearFromSrgb(Math.max(straight, 0)) / Math.exp(p[0]!) - p[1]!, 1e-5);
}

/**
 * The correction that makes the patches come out as they are: gain and flare, an S-shaped curve on the codes, small
 * bumps, and the light that falls on the patches, each held to what is usual. Its uncertainty is that of all of them
 * together, so it grows where no patch is near.
 * @param patches two or more, one channel; fewer patches leave more to what cameras usually do
 * @throws RangeError with fewer than two patches
 * Source: flare as in the flare model of sensitometric practice (linear reading = gain x (reflectance + flare)); the
 *   rest common practice, no source (Bayesian least squares)
 */
export function fitToneCorrection(patches: readonly PatchTone[]): ToneCorrection {
  if (patches.length < 2) throw new RangeError("A tone correction needs at least two patches.");
  const lights = patches[0]!.lightErrors.length;
  const sigma = patches.map(({ trueLight, sigmaShare }) =>
    Math.hypot(
      patchSigma.constant + patchSigma.perDensity * Math.max(0, -Math.log10(trueLight)),
      Math.LOG10E * sigmaShare,
    ),
  );
  const misses = (p: readonly number[]) =>
    patches.map(({ seen, trueLight, lightErrors }) => {
      const moved = lightErrors.reduce((sum, size, k) => sum + size * p[shapeCount + bumps.count + k]!, 0);
      return Math.log10(undone(seen, p) / trueLight) - Math.LOG10E * moved;
    });
  const fit = levenbergMarquardt({
    residuals: (p) => [
      ...misses(p).map((miss, i) => miss / sigma[i]!),
      p[0]! / priors.gainSigma,
      (p[1]! - priors.flare) / priors.flareSigma,
      p[2]! / priors.contrastSigma,
      p[3]! / priors.shiftSigma,
      ...p.slice(shapeCount).map((value, i) => (i < bumps.count ? value / bumps.sigma : value)),
    ],
    start: [0, priors.flare, 0, 0, ...Array.from({ length: bumps.count + lights }, () => 0)],
    maxIterations: 60,
    stepTolerance: 1e-6,
    parameterFloor: 1e-3,
  });
  const { parameters, unscaledCovariance } = fit;
  const remains = misses(parameters);
  const misfit = Math.sqrt(fit.residualSumSquares / patches.length);
  const trueLight = (seen: number) => undone(seen, parameters);
  const seenAs = (light: number) =>
    bisection({ low: 0, high: 1, isBelow: (seen) => trueLight(seen) < light, halvings: 30 }).low;
  return {
    trueLight,
    sigmaBetween: (light, other) => {
      if (unscaledCovariance === null) return Number.POSITIVE_INFINITY;
      const [seen, beside] = [seenAs(light), seenAs(other)];
      const ratio = (p: readonly number[]) => Math.log10(undone(seen, p) / undone(beside, p));
      const slopes = parameters.map((value, k) => {
        const by = (change: number) => ratio(parameters.map((each, j) => (j === k ? value + change : each)));
        return (by(slopeStep) - by(-slopeStep)) / (2 * slopeStep);
      });
      const variance = slopes.reduce(
        (sum, slope, j) =>
          sum + slope * slopes.reduce((inner, besideIt, k) => inner + unscaledCovariance[j]![k]! * besideIt, 0),
        0,
      );
      return Math.sqrt(Math.max(0, variance)) * Math.max(1, misfit);
    },
    residualDensity: Math.sqrt(remains.reduce((sum, miss) => sum + miss * miss, 0) / remains.length),
    misfit,
    flareShare: parameters[1]!,
  };
}

/** Change of a parameter by which the slope of a density is taken. */
const slopeStep = 1e-5;
/**
 * Patches that disagree by more than this many times what was to be expected cannot be one neutral scale.
 * Source: common practice, no source.
 */
const mostMisfit = 4;
/** Flare beyond this share means that something else was photographed. Source: camera-photometry note. */
const mostFlareShare = 0.06;

/**
 * Why patches cannot be trusted; null when they can.
 * @param patches one channel, any order
 */
export function patchTrouble(patches: readonly PatchTone[], correction: ToneCorrection): ReferenceTrouble | null {
  const sorted = [...patches].sort((a, b) => b.trueLight - a.trueLight);
  for (let i = 1; i < sorted.length; i++) {
    const [paler, darker] = [sorted[i - 1]!, sorted[i]!];
    if (Math.log10(paler.trueLight / darker.trueLight) > 0.03 && darker.seen >= paler.seen) {
      return { code: "paler-than-another" };
    }
  }
  if (correction.misfit > mostMisfit) return { code: "no-camera-curve", residualDensity: correction.residualDensity };
  if (correction.flareShare > mostFlareShare) return { code: "stray-light", flareShare: correction.flareShare };
  return null;
}
