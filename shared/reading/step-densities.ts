// From the light of each step and of the paper round it to densities above paper, with their uncertainty and flags.
import { densityFromReflectance } from "#shared/density/density-and-reflectance.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { luminanceWeights } from "#shared/limits.ts";
import type { LightField } from "./light/light-field.ts";
import type { TwoTones } from "./light/two-tones.ts";

/** What was measured inside one step. */
export interface MeasuredStep {
  /** Place of its middle in strip coordinates. */
  readonly u: number;
  readonly v: number;
  /** Mean linear light and its standard uncertainty: red, green, blue. */
  readonly mean: readonly [number, number, number];
  readonly sigma: readonly [number, number, number];
  readonly tileSpreadShare: number;
  readonly keptShare: number;
  readonly strayShare: number;
  readonly twoTones: TwoTones | null;
  readonly clippedShare: number;
  readonly crushedShare: number;
  readonly codeStep: number;
  /** Mean red light of blocks across the step, with the place of each in strip coordinates. */
  readonly blocks: readonly { readonly v: number; readonly red: number }[];
}

export interface StepDensities {
  readonly red: number;
  readonly visual: number;
  readonly lightness: number;
  readonly sigma: number;
  readonly sigmaVisual: number;
  /** Part of `sigma` that is the same in every picture of this print. */
  readonly commonSigma: number;
  readonly flags: readonly string[];
}

/** More than this share of clipped or crushed pixels bends a mean. */
const mostEndOfScaleShare = 0.02;
/** Fewer good tiles than this, and the step is left out. */
const fewestKeptShare = 0.5;
/** Fewer good tiles than this, and something lies on part of the step. */
const partlyCoveredShare = 0.85;
/** Tiles that differ by more than this share of the mean make a step "uneven". Source: common practice, no source. */
const unevenSpreadShare = 0.12;
/** More strays than this are more than specks: a hair. */
const mostStrayShare = 0.035;
/**
 * Tiles fall into two tones when these lie so far apart, in their own spread and as a share of the light, and so many
 * tiles show the rarer one.
 * Source: common practice, no source (normal noise 2.6, an even slope 3.5).
 */
const edge = { separation: 5.5, contrast: 0.03, rarerShare: 0.1, fewestTiles: 12 };
/** With two tones so different and so nearly equal in share, which of them is the print cannot be told. */
const half = { contrast: 0.15, rarerShare: 0.35 };
/**
 * Standard uncertainty that no single step of a print goes below: the evenness of coating and paper.
 * Source: common practice, no source.
 */
const leastSigma = 0.001;
/** Highest red density that a reading reports; beyond it red light is lost in rounding. */
const mostDensity = 3;

/**
 * Densities of one step above the paper at its place.
 * @param step light measured in the step
 * @param field light that unexposed paper returns
 * @param extra unevenness of coating and paper (density), and what the file format's rounding may shift a whole area by
 *   (codes); uncertainty of a tone correction at this step (density)
 * @returns red and visual density, L* beside the paper, standard uncertainties, and flags ("clipped", "crushed",
 *   "out-of-gamut", "uneven", "left-out")
 * Source: density-definition, cie-1976-lightness
 */
export function stepDensities(
  step: MeasuredStep,
  field: LightField,
  extra: { readonly unevenness: number; readonly roundingCodes: number; readonly toneSigma?: number },
): StepDensities {
  const paper = field.logAt(step.u, step.v).map(Math.exp);
  const fieldSigma = field.sigmaAt(step.u, step.v) * Math.LOG10E;
  const [r, g, b] = step.mean;
  const luminance = luminanceFromLinearSrgb(r, g, b);
  const paperLuminance = luminanceFromLinearSrgb(paper[0]!, paper[1]!, paper[2]!);
  const visualShare = Math.min(
    1,
    Math.max(
      0.2,
      densityFromReflectance(luminance / paperLuminance) /
        Math.max(0.05, densityFromReflectance(Math.max(r, 1e-6) / paper[0]!)),
    ),
  );
  const toneSigma = extra.toneSigma ?? 0;
  const flags: string[] = [];
  if (step.clippedShare > mostEndOfScaleShare) flags.push("clipped");
  if (step.crushedShare > mostEndOfScaleShare) flags.push("crushed");
  const floor = Math.max(0.5 * step.codeStep, 10 ** -mostDensity * paper[0]!);
  if (r < floor || step.crushedShare > 0.5) flags.push("out-of-gamut");
  const covered = coverOf(step);
  if (step.keptShare < fewestKeptShare || covered === "about half") flags.push("left-out");
  else if (
    covered === "partly" ||
    step.keptShare < partlyCoveredShare ||
    (step.tileSpreadShare > unevenSpreadShare && r > 4 * step.codeStep)
  )
    flags.push("uneven");
  const redLight = Math.max(r, floor);
  const sigmaLuminance = Math.hypot(...luminanceWeights.map((weight, c) => weight * step.sigma[c]!));
  return {
    red: Math.min(densityFromReflectance(redLight / paper[0]!), mostDensity),
    ...visualOf(luminance / paperLuminance),
    sigma: Math.hypot(
      (Math.LOG10E * step.sigma[0]) / redLight,
      (Math.LOG10E * extra.roundingCodes * step.codeStep) / redLight,
      extra.unevenness,
      fieldSigma,
      toneSigma,
      leastSigma,
    ),
    commonSigma: Math.hypot(extra.unevenness, leastSigma),
    // Luminance changes less with the pigment than red does, so its share of the unevenness is smaller in proportion.
    sigmaVisual: Math.hypot(
      (Math.LOG10E * sigmaLuminance) / Math.max(luminance, 1e-6),
      extra.unevenness * visualShare,
      fieldSigma,
      toneSigma * visualShare,
      leastSigma,
    ),
    flags,
  };
}

/** How much of a step something covers, by an edge inside it or by single pixels. */
function coverOf({ twoTones, strayShare }: MeasuredStep): "not" | "partly" | "about half" {
  if (
    twoTones === null ||
    twoTones.tiles < edge.fewestTiles ||
    twoTones.separation < edge.separation ||
    twoTones.contrast < edge.contrast ||
    twoTones.rarerShare < edge.rarerShare
  ) {
    return strayShare > mostStrayShare ? "partly" : "not";
  }
  return twoTones.contrast > half.contrast && twoTones.rarerShare > half.rarerShare ? "about half" : "partly";
}

/** Visual density and L* of a tone. @param luminance beside the paper's, whose share 1 is */
export const visualOf = (luminance: number): { readonly visual: number; readonly lightness: number } => ({
  visual: densityFromReflectance(luminance),
  lightness: Math.min(100, lightnessFromLuminance(luminance)),
});
