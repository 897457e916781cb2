// The place of every step boundary along a strip, with its uncertainty: an even grid in perspective, and a smooth bend
// for cloth that stretches, as far as the seen boundaries ask for it.
import { varianceOfSum } from "#shared/statistics/variance-of-sum.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";
import { median } from "#shared/statistics/robust.ts";
import { leastSquaresSolution, linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import type { Boundary, StepComb } from "./follow-boundaries.ts";

interface FittedPlace {
  readonly s: number;
  /** As evenly as these boundaries lie. */
  readonly sigma: number;
  /** ... and as boundaries usually do. */
  readonly usualSigma: number;
}

export interface FittedPlaces {
  /** The comb's number of the strip's first end. */
  readonly startK: number;
  /** Place of a boundary counted from the strip's first end (0 to steps), and its standard uncertainty [small px]. */
  at(k: number): FittedPlace;
  /** The place alone. */
  readonly placeOf: (k: number) => number;
  /** Spacing there [small px]. */
  pitchAt(k: number): number;
  /** Sum of squares that the fit leaves, uncommon ones held down; compares numberings. */
  readonly cost: number;
  /**
   * How far the boundaries bend away from the perspective that was foretold, in its standard uncertainties, as far as
   * they tell it themselves.
   */
  readonly bowSigmas: number;
  /** Root mean square distance of the seen boundaries from their fitted places, in steps. */
  readonly residualSteps: number;
  /** The greatest leap of the boundaries off their fitted places, in steps: the middle one of three on either side. */
  leapSteps(): number;
}

/** Boundaries on either side of a leap whose middle one counts, so that a single stray one makes none. */
const besideLeap = 3;

/** How far all of a row's later departures could lie off its earlier ones: the greatest difference of neighbours. */
export function greatestLeap(departures: readonly number[]): number {
  const middleOf = (from: number): number => median(departures.slice(from, from + besideLeap));
  let leap = 0;
  for (let i = besideLeap; i + besideLeap <= departures.length; i++)
    leap = Math.max(leap, Math.abs(middleOf(i) - middleOf(i - besideLeap)));
  return leap;
}

/**
 * Stretch of cloth along a strip, as shares of its length: bow to one side, and wave. Paper needs less.
 * Source: common practice, no source.
 */
const bowShare = 0.007;
const waveShare = 0.004;
/** Boundaries lie this close to a smooth course, in steps. */
const unevenSteps = 0.03;
/** An end is placed to this many small pixels, and this share of a step. */
const endSigmaPx = 0.5;
const endSigmaSteps = 0.05;
const farSigmaSteps = 0.15;
/** How many boundaries the usual scatter counts for beside the seen ones; terms of the course that they fit. */
const usualWeight = 2;
const fittedTerms = 2;
/** A course is never surer or less sure than this many times the usual: a lens bends what no boundary shows. */
const leastUneven = 0.75;
const mostUneven = 1.5;
/** Departures beyond this many sigmas lose their weight, which is settled in so many rounds. */
const usual = 2.5;
const reweightings = 4;

/** A boundary that was marked by hand, counted from the strip's first end [small px]. */
export interface MarkedPlace {
  readonly number: number;
  readonly s: number;
  readonly sigma: number;
}

/**
 * Fits the course of the boundaries.
 * @param startK the comb's number of the strip's first end, as supposed
 * @param end an end that was seen, with the comb's number supposed for it
 * @param farS where the other end may lie [small px]; it only judges the numbering
 * @param marks where somebody marked boundaries by hand
 */
export function fitPlaces(
  { grid, boundaries }: StepComb,
  {
    steps,
    startK,
    expectedShrink,
    shrinkSigma,
    end,
    farS,
    marks = [],
  }: {
    readonly steps: number;
    readonly startK: number;
    readonly expectedShrink: number;
    readonly shrinkSigma: number;
    readonly end: { readonly k: number; readonly s: number } | null;
    readonly farS: number | null;
    readonly marks?: readonly MarkedPlace[];
  },
): FittedPlaces {
  const length = steps * grid.pitch;
  const row = (k: number): number[] => {
    const x = (k - startK) / steps;
    return [
      1,
      k / (1 + expectedShrink * k),
      2 * x * (1 - x) * length,
      Math.sin(2 * Math.PI * Math.min(Math.max(x, -0.2), 1.2)) * length,
    ];
  };
  // A perspective other than the expected one bends the grid as a bow does.
  const bowSigma = Math.hypot(bowShare, (shrinkSigma * steps) / 2);
  const inside = boundaries.filter((b) => b.k > startK && b.k < startK + steps && b.k !== end?.k);
  // A supposed start that leaves no boundary inside costs too much to be chosen, and yet has to be counted.
  const placedBy = inside.length > 0 ? inside : boundaries;
  const seen: Pick<Boundary, "k" | "s" | "sigma">[] = placedBy.map(({ k, s, sigma }) => ({
    k,
    s,
    sigma: Math.hypot(sigma, unevenSteps * grid.pitch),
  }));
  const count = seen.length;
  if (end !== null) seen.push({ ...end, sigma: Math.hypot(endSigmaPx, endSigmaSteps * grid.pitch) });
  for (const { number, ...mark } of marks) seen.push({ k: startK + number, ...mark });
  const design = [...seen.map((b) => row(b.k)), [0, 0, 1, 0], [0, 0, 0, 1], [0, 1, 0, 0]];
  const response = [...seen.map((b) => b.s), 0, 0, grid.pitch];
  const prior = [bowSigma, waveShare, 0.3 * grid.pitch];
  let sigma = [...seen.map((b) => b.sigma), ...prior];
  let coefficients: ArrayLike<number> = [];
  const placed = (k: number): number => dotProduct(row(k), coefficients);
  /** ... of what was seen, by its number among that. */
  const placedAt = (i: number): number => dotProduct(design[i]!, coefficients);
  for (let round = 0; round < reweightings; round++) {
    coefficients = leastSquaresSolution(design, response, sigma)!;
    sigma = [...seen.map((b, i) => Math.hypot(b.sigma, (b.s - placedAt(i)) / usual)), ...prior];
  }
  const fit = linearLeastSquares({ design, response, sigma });
  coefficients = fit.coefficients;
  // Boundaries that lie on one smooth course more closely than usual foretell what lies beyond them more closely too.
  const squares = seen
    .slice(0, count)
    .reduce((sum, b, i) => sum + Math.min(Math.abs(b.s - placedAt(i)) / b.sigma, usual) ** 2, 0);
  const evenness = Math.sqrt((squares + usualWeight) / (Math.max(count - fittedTerms, 0) + usualWeight));
  const departures = seen.map((b, i) => (b.s - placedAt(i)) / b.sigma);
  const priorCost = (fit.coefficients[2]! / bowSigma) ** 2 + (fit.coefficients[3]! / waveShare) ** 2;
  const farK = end?.k === startK ? startK + steps : startK;
  const farDeparture = farS === null ? 0 : (farS - placed(farK)) / (farSigmaSteps * grid.pitch);
  const pitchAt = (k: number) => placed(startK + k + 0.5) - placed(startK + k - 0.5);
  return {
    startK,
    bowSigmas: Math.abs(fit.coefficients[2]!) / bowSigma,
    at: (k) => {
      const sigma = Math.sqrt(varianceOfSum(row(startK + k), fit.unscaledCovariance));
      return {
        s: placed(startK + k),
        sigma: Math.min(Math.max(evenness, leastUneven), mostUneven) * sigma,
        usualSigma: sigma,
      };
    },
    placeOf: (k) => placed(startK + k),
    pitchAt,
    cost:
      departures.reduce((sum, z) => sum + usual ** 2 * Math.log1p((z / usual) ** 2), 0) +
      priorCost +
      2 * usual ** 2 * Math.log1p((farDeparture / usual) ** 2),
    leapSteps: () =>
      greatestLeap(placedBy.toSorted((a, b) => a.k - b.k).map(({ k, s }) => (s - placed(k)) / grid.pitch)),
    residualSteps: Math.sqrt(
      seen.reduce((sum, b, i) => sum + Math.min(Math.abs(b.s - placedAt(i)) / grid.pitch, 0.5) ** 2, 0) / seen.length,
    ),
  };
}
