// Undoes a camera's own tone curve and flare with patches of known density in the picture.
import { srgbFromLinear, linearFromSrgb } from "#shared/density/srgb.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";

/** One patch, in one colour channel. */
export interface PatchTone {
  /** True light of the patch: its reflectance times the light falling on it beside that on the strip. */
  readonly trueLight: number;
  /** Linear light as decoded from the picture (0-1). */
  readonly seen: number;
  /** Standard uncertainty of the seen light as a share of it. */
  readonly sigmaShare: number;
}

export interface ToneCorrection {
  /** True light for decoded light; never falls. */
  readonly trueLight: (seen: number) => number;
  /** Root mean square of what the patches still disagree by, in density. */
  readonly residualDensity: number;
  /** Flare as a share of a perfect white. */
  readonly flareShare: number;
}

/** Ends of the code scale, where an S-shaped curve has no inverse. */
const nearEnds = 0.002;
/** Certified patches themselves are known to about this density. Source: camera-photometry note (tables of one chart differ by 0.006 to 0.014). */
const patchSigmaDensity = 0.006;
/** What cameras do, and how far from it they stray: flare, contrast, brightness of the curve. Source: common practice, no source. */
const priors = { flare: 0.008, flareSigma: 0.012, contrastSigma: 0.35, shiftSigma: 0.6, gainSigma: 0.5 };

const logit = (x: number) => {
  const held = Math.min(Math.max(x, nearEnds), 1 - nearEnds);
  return Math.log(held / (1 - held));
};
const sigmoid = (x: number) => 1 / (1 + Math.exp(-x));

/** Light before the camera's curve, by [log gain, flare, log contrast, shift]. */
function undone(seen: number, [logGain = 0, flare = 0, logContrast = 0, shift = 0]: readonly number[]): number {
  const code = sigmoid((logit(srgbFromLinear(seen)) - shift) / Math.exp(logContrast));
  return Math.max(linearFromSrgb(code) / Math.exp(logGain) - flare, 1e-5);
}

/**
 * The correction that makes the patches come out as they are: gain and flare, an S-shaped curve on the codes, and a
 * smooth monotone remainder.
 * @param patches two or more, one channel; fewer patches leave more to what cameras usually do
 * @throws RangeError with fewer than two patches
 * Source: flare as in the flare model of sensitometric practice (linear reading = gain x (reflectance + flare)); the rest common practice, no source
 */
export function fitToneCorrection(patches: readonly PatchTone[]): ToneCorrection {
  if (patches.length < 2) throw new RangeError("A tone correction needs at least two patches.");
  const sigma = patches.map((patch) => Math.hypot(patchSigmaDensity, Math.LOG10E * patch.sigmaShare));
  const misses = (p: readonly number[]) => patches.map((patch) => Math.log10(undone(patch.seen, p) / patch.trueLight));
  const fit = levenbergMarquardt({
    residuals: (p) => [
      ...misses(p).map((miss, i) => miss / sigma[i]!),
      p[0]! / priors.gainSigma,
      (p[1]! - priors.flare) / priors.flareSigma,
      p[2]! / priors.contrastSigma,
      p[3]! / priors.shiftSigma,
    ],
    start: [0, priors.flare, 0, 0],
    maxIterations: 200,
  });
  const remains = misses(fit.parameters);
  const residualDensity = Math.sqrt(remains.reduce((sum, miss) => sum + miss * miss, 0) / remains.length);
  // What is left is smoothed in between; patches as dark as each other share their mean.
  const points = patches
    .map((patch, i) => ({ at: -Math.log10(Math.max(patch.seen, 1e-6)), miss: remains[i]! }))
    .sort((a, b) => a.at - b.at)
    .reduce<{ at: number; miss: number; count: number }[]>((merged, { at, miss }) => {
      const last = merged.at(-1);
      if (last !== undefined && at - last.at < 0.02) {
        last.miss = (last.miss * last.count + miss) / (last.count + 1);
        last.count++;
      } else merged.push({ at, miss, count: 1 });
      return merged;
    }, []);
  const share = 0.7;
  const remainder = points.length >= 4 ? monotoneCubic(points.map((p) => p.at), points.map((p) => share * p.miss)) : null;
  const [first, last] = [points[0]!.at, points.at(-1)!.at];
  return {
    trueLight: (seen) => {
      const plain = undone(seen, fit.parameters);
      if (remainder === null) return plain;
      const at = Math.min(Math.max(-Math.log10(Math.max(seen, 1e-6)), first), last);
      return plain * 10 ** -monotoneCubicAt(remainder, at);
    },
    residualDensity,
    flareShare: fit.parameters[1]!,
  };
}

/** Patches that contradict each other by more than this cannot be one neutral scale. */
const mostContradiction = 0.05;
/** Flare beyond this share means that something else was photographed. Source: camera-photometry note. */
const mostFlareShare = 0.06;

/**
 * Why patches cannot be trusted, in plain words; null when they can.
 * @param patches one channel, any order
 */
export function patchTrouble(patches: readonly PatchTone[], correction: ToneCorrection): string | null {
  const sorted = [...patches].sort((a, b) => b.trueLight - a.trueLight);
  for (let i = 1; i < sorted.length; i++) {
    const [paler, darker] = [sorted[i - 1]!, sorted[i]!];
    if (Math.log10(paler.trueLight / darker.trueLight) > 0.03 && darker.seen >= paler.seen) {
      return "a patch that should be darker looks paler than another";
    }
  }
  if (correction.residualDensity > mostContradiction) return `no camera curve fits them: they disagree by ${correction.residualDensity.toFixed(2)} in density`;
  if (correction.flareShare > mostFlareShare) return `they suggest ${Math.round(correction.flareShare * 100)} % stray light, more than a camera has`;
  return null;
}
