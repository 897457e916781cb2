// Several pictures of one print at different exposures: the same tone falls on other places of the camera's curve in
// each, and how much light went in is known from the camera's notes, so the curve shows itself. Stray light does not:
// it grows with the exposure.
import { choleskyFactor, choleskySolve, forwardSubstitute } from "#shared/statistics/cholesky.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";
import type { SeenDensity } from "./one-pigment.ts";
import {
  driftSigma,
  isUsable,
  toneOf,
  tonesSeen,
  type Channel,
  type ExposedPicture,
  type Sighting,
} from "./seen-tones.ts";

export interface BracketedDensities {
  /**
   * Red density of each step above paper with the curve undone, and how far the curve may move it; null where no
   * picture shows it.
   */
  readonly red: readonly (SeenDensity | null)[];
  /** ... and the other densities, null where no picture shows them or none has colour. */
  readonly green: readonly (SeenDensity | null)[];
  readonly blue: readonly (SeenDensity | null)[];
  /** Standard uncertainty of each by what the pictures leave open about the curve: common to all steps. */
  readonly curveSigma: readonly number[];
  /** Standard uncertainty of the contrast of all densities, as a share. */
  readonly gammaSigma: number;
  /** What the pictures disagree by beside what was to be expected: about 1 when one curve explains them. */
  readonly misfit: number;
  /** How far the pictures move any of the noted exposures, in standard uncertainties of one. */
  readonly exposureMisfit: number;
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
 * The curve as the slope of true light over decoded light, both as logarithms, less one: straight between knots of
 * log10 light, and how far it usually lies from nothing at the bright end and moves from knot to knot.
 * Source: common practice, no source.
 */
const curve = { knots: 21, spacing: 0.15, brightSigma: 0.4, stepSigma: 0.2 };

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
  // Pictures that disagree by more than was to be expected are solved once more with that noise.
  const first = solvedFrom(tones, { exposures, noise: 1 });
  const noise = Math.max(1, first.misfit);
  const { factor, solved } = noise === 1 ? first : solvedFrom(tones, { exposures, noise });
  const seenIn = (channel: Channel): (SeenDensity | null)[] =>
    pictures[0]!.steps.map((_, step) => {
      const each = densityTerms(pictures, step, channel);
      return each === null
        ? null
        : {
            density: each.plain + dotProduct(each.terms, solved),
            sigma: Math.max(leastNoise, first.misfit) * each.sigma,
            moves: forwardSubstitute(factor, each.terms),
          };
    });
  const red = seenIn("red");
  const curveSigma = red.map((each) => (each === null ? 0 : Math.hypot(...each.moves)));
  const deepest = red.reduce<number>(
    (most, each, i) => ((each?.density ?? 0) > (red[most]?.density ?? 0) ? i : most),
    0,
  );
  return {
    red,
    green: seenIn("green"),
    blue: seenIn("blue"),
    curveSigma,
    gammaSigma: curveSigma[deepest]! / Math.max(0.3, red[deepest]?.density ?? 0),
    misfit: first.misfit,
    exposureMisfit: Math.max(...first.solved.subarray(curve.knots).map(Math.abs)) / exposureSigma,
  };
}

/** Fewer tones seen in several pictures say too little of a curve. common practice, no source */
const fewestTones = 6;

/**
 * Noise of one density is what the pictures show it to be, but no less than this share of what is usual: tones that are
 * alike share their rounding. Source: common practice, no source (rendered brackets).
 */
const leastNoise = 0.7;

interface Solved {
  /** Cholesky factor of the normal equations. */
  readonly factor: Float64Array;
  readonly solved: Float64Array;
  readonly misfit: number;
}

/** Curve and small errors of the exposures from tones seen in several pictures. @param noise times the usual */
function solvedFrom(
  tones: readonly (readonly Sighting[])[],
  { exposures, noise }: { readonly exposures: readonly number[]; readonly noise: number },
): Solved {
  const size = curve.knots + exposures.length;
  const normal = priorOf(exposures.length);
  const right = new Float64Array(size);
  const rows = tones.flatMap((sightings) => rowsOfTone(sightings, exposures, size));
  for (const { terms, value, weight: usual } of rows) {
    const weight = usual / noise ** 2;
    for (let j = 0; j < size; j++) {
      right[j]! += weight * terms[j]! * value;
      for (let k = 0; k < size; k++) normal[j * size + k]! += weight * terms[j]! * terms[k]!;
    }
  }
  const factor = choleskyFactor(normal, size);
  const solved = choleskySolve(factor, right);
  const freedom = Math.max(1, rows.length - tones.length - 3);
  const squares = rows.reduce(
    (sum, { terms, value, weight }) => sum + weight * (value - dotProduct(terms, solved)) ** 2,
    0,
  );
  return { factor, solved, misfit: Math.sqrt(squares / freedom) };
}

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

interface DensityTerms {
  readonly plain: number;
  /** Standard uncertainty of that by noise. */
  readonly sigma: number;
  readonly terms: Float64Array;
}

/**
 * A step's density: over all pictures that show it beside paper, or else, where none does, across pictures by their
 * exposures.
 */
function densityTerms(pictures: readonly ExposedPicture[], step: number, channel: Channel): DensityTerms | null {
  const size = curve.knots + pictures.length;
  const shown = pictures.flatMap(({ steps, logExposure }, picture) => {
    const seen = toneOf(steps[step], channel);
    return seen === null ? [] : [{ seen, logExposure, picture }];
  });
  const beside = shown.filter(({ seen }) => isUsable(seen.light) && isUsable(seen.paper));
  const meanTone = (which: "light" | "paper"): DensityTerms | null => {
    const usable = (beside.length > 0 ? beside : shown).filter(({ seen }) => isUsable(seen[which]));
    const terms = new Float64Array(size);
    let [plain, weights] = [0, 0];
    for (const { seen, logExposure, picture } of usable) {
      const weight = 1 / (seen.sigma ** 2 + driftSigma ** 2);
      weights += weight;
      plain += weight * (Math.log10(seen[which]) - logExposure);
      curveTerms(seen[which]).forEach((term, k) => (terms[k]! += weight * term));
      terms[curve.knots + picture]! -= weight;
    }
    return weights === 0
      ? null
      : { plain: plain / weights, sigma: weights ** -0.5, terms: terms.map((term) => term / weights) };
  };
  const [light, paper] = [meanTone("light"), meanTone("paper")];
  return light === null || paper === null
    ? null
    : {
        plain: paper.plain - light.plain,
        sigma: light.sigma,
        terms: paper.terms.map((term, k) => term - light.terms[k]!),
      };
}
