// Several pictures of one print at different exposures: the same tone falls on other places of the camera's curve in
// each, and how much light went in is known from the camera's notes, so the curve shows itself. Stray light does not:
// it grows with the exposure.
import { choleskyFactor, choleskySolve, forwardSubstitute } from "#shared/statistics/cholesky.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";

/** One picture of the print. */
export interface ExposedPicture {
  /** Logarithm (base 10) of the light that went in, beside any other picture of the same camera. */
  readonly logExposure: number;
  /**
   * Red light (0-1) of each step as decoded, and of paper at its place; null where the picture says nothing about a
   * step.
   */
  readonly steps: readonly (ExposedStep | null)[];
}

/** Light of a step as decoded and of paper at its place, with the step's relative noise (log 10). */
export interface ExposedTone {
  readonly light: number;
  readonly paper: number;
  readonly sigma: number;
}

/** ... in red, and in the other channels of a picture in colour, by the same curve. */
export interface ExposedStep extends ExposedTone {
  readonly green?: ExposedTone;
  readonly blue?: ExposedTone;
}

export interface BracketedDensities {
  /** Red density of each step above paper with the curve undone; null where no picture shows it. */
  readonly red: readonly (number | null)[];
  /** ... and the other densities, null where no picture shows them or none has colour. */
  readonly green: readonly (number | null)[];
  readonly blue: readonly (number | null)[];
  /** Standard uncertainty of each by what the pictures leave open about the curve: common to all steps. */
  readonly curveSigma: readonly number[];
  /** Standard uncertainty of the contrast of all densities, as a share. */
  readonly gammaSigma: number;
  /** What the pictures disagree by beside what was to be expected: about 1 when one curve explains them. */
  readonly misfit: number;
}

/**
 * Exposures that differ by less than this (two thirds of a stop) show nothing of the curve. common practice, no source
 */
const leastExposureSpread = 0.2;
/**
 * Noted times and sensitivities are rounded: standard uncertainty of a picture's log exposure.
 * Source: common practice, no source.
 */
const exposureSigma = 0.006;
/**
 * Light on the print drifts a little from picture to picture, place by place (log 10).
 * Source: common practice, no source.
 */
const driftSigma = 0.003;
/** Codes nearer than this to either end of the scale say nothing about the curve. common practice, no source */
const usable = { least: 0.0008, most: 0.9 };
/**
 * The curve as the slope of true light over decoded light, both as logarithms, less one: straight between knots of
 * log10 light, and how far it usually lies from nothing at the bright end and moves from knot to knot.
 * Source: common practice, no source.
 */
const curve = { knots: 21, spacing: 0.15, brightSigma: 0.4, stepSigma: 0.2 };

interface Sighting {
  readonly picture: number;
  readonly seen: number;
  readonly sigma: number;
}

/** What each knot's slope adds to log10 of true light at a decoded light: the integral of its tent from there to 1. */
function curveTerms(seen: number): Float64Array {
  const depth = -Math.log10(seen) / curve.spacing;
  const terms = new Float64Array(curve.knots);
  for (let k = 0; k < curve.knots; k++) {
    // Integral of a tent of width one round k, from 0 to the depth; the last one goes on level.
    const upTo = (at: number) => {
      const t = at - k;
      if (t <= -1) return 0;
      if (t <= 0) return (t + 1) ** 2 / 2;
      if (k === curve.knots - 1) return 0.5 + t;
      return t < 1 ? 0.5 + t - (t * t) / 2 : 1;
    };
    terms[k] = -curve.spacing * (upTo(depth) - upTo(0));
  }
  return terms;
}

/**
 * Densities from several exposures, with the camera's curve solved from them: smooth in logarithms, held to what is
 * usual where the pictures do not tell, together with the small errors of the noted exposures. All is linear, so the
 * uncertainty is exact.
 * @param pictures two or more, with the same steps
 * @returns null when their exposures lie too close together, or too few tones are seen in more than one
 * Source: debevec-malik-1997 and mitsunaga-nayar-1999 (a response from exposures of known ratio, smooth); least squares
 *   with priors
 */
export function bracketedDensities(pictures: readonly ExposedPicture[]): BracketedDensities | null {
  const exposures = pictures.map(({ logExposure }) => logExposure);
  if (pictures.length < 2 || Math.max(...exposures) - Math.min(...exposures) < leastExposureSpread) return null;
  const tones = tonesSeen(pictures).filter((sightings) => sightings.length > 1);
  if (tones.length < fewestTones) return null;
  const size = curve.knots + pictures.length;
  const normal = priorOf(pictures.length);
  const right = new Float64Array(size);
  const rows = tones.flatMap((sightings) => rowsOfTone(sightings, exposures, size));
  for (const { terms, value, weight } of rows) {
    for (let j = 0; j < size; j++) {
      right[j]! += weight * terms[j]! * value;
      for (let k = 0; k < size; k++) normal[j * size + k]! += weight * terms[j]! * terms[k]!;
    }
  }
  const factor = choleskyFactor(normal, size);
  const solved = choleskySolve(factor, right);
  const freedom = Math.max(1, rows.length - tones.length - 3);
  const misfit = Math.sqrt(
    rows.reduce((sum, { terms, value, weight }) => sum + weight * (value - dotProduct(terms, solved)) ** 2, 0) /
      freedom,
  );
  const termsOf = (channel: Channel) => pictures[0]!.steps.map((_, step) => densityTerms(pictures, step, channel));
  const densityOf = (each: DensityTerms | null) => (each === null ? null : each.plain + dotProduct(each.terms, solved));
  const steps = termsOf("red");
  const red = steps.map(densityOf);
  const curveSigma = steps.map((each) =>
    each === null ? 0 : Math.hypot(...forwardSubstitute(factor, each.terms)) * Math.max(1, misfit),
  );
  const deepest = red.reduce<number>((most, density, i) => ((density ?? 0) > (red[most] ?? 0) ? i : most), 0);
  return {
    red,
    green: termsOf("green").map(densityOf),
    blue: termsOf("blue").map(densityOf),
    curveSigma,
    gammaSigma: curveSigma[deepest]! / Math.max(0.3, red[deepest] ?? 0),
    misfit,
  };
}

/** Fewer tones seen in several pictures say too little of a curve. common practice, no source */
const fewestTones = 6;

function priorOf(pictures: number): Float64Array {
  const size = curve.knots + pictures;
  const normal = new Float64Array(size * size);
  normal[0]! += curve.brightSigma ** -2;
  for (let k = 1; k < curve.knots; k++) {
    const weight = curve.stepSigma ** -2;
    normal[k * size + k]! += weight;
    normal[(k - 1) * size + k - 1]! += weight;
    normal[k * size + k - 1]! -= weight;
    normal[(k - 1) * size + k]! -= weight;
  }
  for (let j = curve.knots; j < size; j++) normal[j * size + j]! += exposureSigma ** -2;
  return normal;
}

interface Row {
  readonly terms: Float64Array;
  readonly value: number;
  readonly weight: number;
}

/** One tone's sightings, each less their mean: the tone itself, which nobody knows, falls out. */
function rowsOfTone(sightings: readonly Sighting[], exposures: readonly number[], size: number): Row[] {
  const each = sightings.map(({ picture, seen, sigma }) => {
    const terms = new Float64Array(size);
    terms.set(curveTerms(seen));
    terms[curve.knots + picture]! -= 1;
    return { terms, value: exposures[picture]! - Math.log10(seen), weight: sigma ** -2 };
  });
  const weights = each.reduce((sum, { weight }) => sum + weight, 0);
  const meanTerms = new Float64Array(size);
  for (const { terms, weight } of each) terms.forEach((term, j) => (meanTerms[j]! += (weight * term) / weights));
  const meanValue = each.reduce((sum, { value, weight }) => sum + (weight * value) / weights, 0);
  return each.map(({ terms, value, weight }) => ({
    terms: terms.map((term, j) => term - meanTerms[j]!),
    value: value - meanValue,
    weight,
  }));
}

type Channel = "red" | "green" | "blue";

interface DensityTerms {
  readonly plain: number;
  readonly terms: Float64Array;
}

/** A step's density over all pictures that show it: what they read, and what the curve adds to it. */
function densityTerms(pictures: readonly ExposedPicture[], step: number, channel: Channel): DensityTerms | null {
  const terms = new Float64Array(curve.knots + pictures.length);
  let [plain, weights] = [0, 0];
  for (const { steps } of pictures) {
    const all = steps[step];
    const seen = channel === "red" ? all : all?.[channel];
    if (seen === null || seen === undefined || !isUsable(seen.light) || !isUsable(seen.paper)) continue;
    const weight = 1 / (seen.sigma ** 2 + driftSigma ** 2);
    weights += weight;
    plain += weight * Math.log10(seen.paper / seen.light);
    const [paper, light] = [curveTerms(seen.paper), curveTerms(seen.light)];
    for (let k = 0; k < curve.knots; k++) terms[k]! += weight * (paper[k]! - light[k]!);
  }
  return weights === 0 ? null : { plain: plain / weights, terms: terms.map((term) => term / weights) };
}

const isUsable = (seen: number): boolean => seen > usable.least && seen < usable.most;

/** Each tone, a step's or its paper's, with the pictures that show it. */
function tonesSeen(pictures: readonly ExposedPicture[]): Sighting[][] {
  const tones: Sighting[][] = [];
  for (let step = 0; step < pictures[0]!.steps.length; step++) {
    for (const which of ["light", "paper"] as const) {
      tones.push(
        pictures.flatMap(({ steps }, picture) => {
          const seen = steps[step];
          if (seen === null || seen === undefined || !isUsable(seen[which])) return [];
          return [
            { picture, seen: seen[which], sigma: Math.hypot(which === "light" ? seen.sigma : 0.001, driftSigma) },
          ];
        }),
      );
    }
  }
  return tones;
}
