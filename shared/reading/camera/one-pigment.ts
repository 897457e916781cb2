// A print of one pigment: its densities in green and blue light run in nearly fixed proportion to that in red. Stray
// light bends those proportions one way, a camera's raised saturation the other, so a strip whose tone is known tells
// both, as far as the proportions are known.
import { luminanceWeights } from "#shared/limits.ts";

/** Densities of one step above paper in a picture whose tone curve is undone, with their standard uncertainties. */
export interface SeenStep {
  readonly red: number;
  readonly green: number;
  readonly blue: number;
  readonly sigmaRed: number;
  readonly sigmaGreen: number;
  readonly sigmaBlue: number;
}

export interface OnePigment {
  /** Red density of each step without stray light and raised saturation; null where it cannot be said. */
  readonly red: readonly (number | null)[];
  /** Standard uncertainty of each by what the strip leaves open about both: common to all steps. */
  readonly sigma: readonly number[];
  readonly flareShare: number;
  readonly flareSigma: number;
  /** How many times the camera multiplies differences between channels. */
  readonly chroma: number;
  readonly chromaSigma: number;
}

/**
 * Proportion of green and of blue density to red of an iron blue, at paper and for each unit of red density more, as
 * standard camera and scanner channels see it: mean and spread.
 * Source: computed from an absorption band at 660-720 nm through broad channels, see the test of this file; common
 *   practice, no source
 */
const proportions: Readonly<Record<"green" | "blue", Proportion>> = {
  green: { atPaper: 0.46, atPaperSigma: 0.08, bend: -0.015, bendSigma: 0.015 },
  blue: { atPaper: 0.12, atPaperSigma: 0.06, bend: 0, bendSigma: 0.03 },
};

interface Proportion {
  readonly atPaper: number;
  readonly atPaperSigma: number;
  readonly bend: number;
  readonly bendSigma: number;
}

/**
 * Stray light as a share of paper white, and the camera's multiplication of chroma, before the strip has spoken:
 * nine in ten pictures have the chroma that they should. Source: common practice, no source.
 */
const before = { flareMean: 0.008, flareSigma: 0.01, mostFlare: 0.05, chromaSigma: 0.35, mostChroma: 2 } as const;
const plainChromaShare = 0.9;
const flareCount = 51;
const chromaCount = 51;
/**
 * A step strays from one proportion by so much at least, as coating and paper do (density). common practice, no source
 */
const leastSigma = 0.004;
/** Fewer steps tell too little of two unknowns and a proportion. common practice, no source */
const fewestSteps = 6;

/**
 * Red densities with stray light and raised saturation taken off, as far as the strip tells them.
 * @param steps null for steps that say nothing
 * @returns null with fewer than six steps
 * Source: common practice, no source (Bayes on a grid of stray light and saturation, the proportion integrated out)
 */
export function undoneByOnePigment(steps: readonly (SeenStep | null)[]): OnePigment | null {
  if (steps.filter((step) => step !== null).length < fewestSteps) return null;
  const tried: { flare: number; chroma: number; red: Float64Array; misfit: number; prior: number }[] = [];
  for (let i = 0; i < flareCount; i++) {
    const flare = (before.mostFlare * i) / (flareCount - 1);
    for (let j = 0; j < chromaCount; j++) {
      const chroma = 1 + ((before.mostChroma - 1) * j) / (chromaCount - 1);
      const plain = steps.map((step) => (step === null ? null : withoutCamera(step, flare, chroma)));
      if (plain.some((each, k) => each === null && steps[k] !== null)) continue;
      tried.push({
        flare,
        chroma,
        red: Float64Array.from(plain, (each) => each?.red ?? Number.NaN),
        misfit: misfitOf(plain, "green") + misfitOf(plain, "blue"),
        prior: ((flare - before.flareMean) / before.flareSigma) ** 2 + chromaCost(chroma),
      });
    }
  }
  if (tried.length === 0) return null;
  const freedom = Math.max(1, 2 * (steps.filter((step) => step !== null).length - 2));
  const least = Math.min(...tried.map(({ misfit }) => misfit));
  const scale = Math.max(1, least / freedom);
  const costs = tried.map(({ misfit, prior }) => misfit / scale + prior);
  const best = Math.min(...costs);
  const weights = costs.map((cost) => Math.exp((best - cost) / 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const spread = (valueOf: (index: number) => number): { mean: number; sigma: number } => {
    const mean = weights.reduce((sum, weight, k) => sum + weight * valueOf(k), 0) / total;
    const variance = weights.reduce((sum, weight, k) => sum + weight * (valueOf(k) - mean) ** 2, 0) / total;
    return { mean, sigma: Math.sqrt(variance) };
  };
  const reds = steps.map((step, i) => (step === null ? null : spread((k) => tried[k]!.red[i]!)));
  const flare = spread((k) => tried[k]!.flare);
  const chroma = spread((k) => tried[k]!.chroma);
  return {
    red: reds.map((each) => each?.mean ?? null),
    sigma: reds.map((each) => each?.sigma ?? 0),
    flareShare: flare.mean,
    flareSigma: flare.sigma,
    chroma: chroma.mean,
    chromaSigma: chroma.sigma,
  };
}

/** Twice the negative logarithm of how likely a chroma of the grid is, beside any other. */
function chromaCost(chroma: number): number {
  if (chroma === 1) return -2 * Math.log(plainChromaShare);
  const gridStep = (before.mostChroma - 1) / (chromaCount - 1);
  const density = (2 / (before.chromaSigma * Math.sqrt(2 * Math.PI))) * gridStep;
  return ((chroma - 1) / before.chromaSigma) ** 2 - 2 * Math.log((1 - plainChromaShare) * density);
}

interface PlainStep {
  readonly red: number;
  readonly green: PlainDensity;
  readonly blue: PlainDensity;
}

interface PlainDensity {
  readonly density: number;
  /** Standard uncertainty beside a proportion of the red one. */
  readonly sigma: number;
}

/** What a step would be without stray light and raised saturation; null where no light would be left. */
function withoutCamera(step: SeenStep, flare: number, chroma: number): PlainStep | null {
  const [r, g, b] = [10 ** -step.red, 10 ** -step.green, 10 ** -step.blue];
  const [wr, wg, wb] = luminanceWeights;
  const luminance = wr * r + wg * g + wb * b;
  const lightOf = (seen: number) => (luminance + (seen - luminance) / chroma) * (1 + flare) - flare;
  const [red, green, blue] = [lightOf(r), lightOf(g), lightOf(b)];
  if (!(red > 0) || !(green > 0) || !(blue > 0)) return null;
  // What noise of the seen light becomes in density.
  const grown = (seen: number, weight: number, light: number) =>
    (seen * (weight + (1 - weight) / chroma) * (1 + flare)) / light;
  const sigmaRed = step.sigmaRed * grown(r, wr, red);
  const beside = (light: number, sigma: number, { atPaper }: Proportion): PlainDensity => ({
    density: -Math.log10(light),
    sigma: Math.hypot(leastSigma, sigma, atPaper * sigmaRed),
  });
  return {
    red: -Math.log10(red),
    green: beside(green, step.sigmaGreen * grown(g, wg, green), proportions.green),
    blue: beside(blue, step.sigmaBlue * grown(b, wb, blue), proportions.blue),
  };
}

/**
 * Squares of what one proportion, with a bend, leaves of a channel's density beside red: at the best proportion, with
 * what it usually is.
 */
function misfitOf(steps: readonly (PlainStep | null)[], channel: "green" | "blue"): number {
  const usual = proportions[channel];
  // Normal equations of density = atPaper red + bend red^2, with both priors.
  let [aa, ab, bb] = [usual.atPaperSigma ** -2, 0, usual.bendSigma ** -2];
  let [a, b] = [usual.atPaper * aa, usual.bend * bb];
  for (const step of steps) {
    if (step === null) continue;
    const { red } = step;
    const { density, sigma } = step[channel];
    const weight = sigma ** -2;
    aa += weight * red ** 2;
    ab += weight * red ** 3;
    bb += weight * red ** 4;
    a += weight * red * density;
    b += weight * red ** 2 * density;
  }
  const determinant = aa * bb - ab * ab;
  const [atPaper, bend] = [(a * bb - b * ab) / determinant, (b * aa - a * ab) / determinant];
  const squares = steps.reduce((sum, step) => {
    if (step === null) return sum;
    const { density, sigma } = step[channel];
    return sum + ((density - atPaper * step.red - bend * step.red ** 2) / sigma) ** 2;
  }, 0);
  return squares + ((atPaper - usual.atPaper) / usual.atPaperSigma) ** 2 + ((bend - usual.bend) / usual.bendSigma) ** 2;
}
