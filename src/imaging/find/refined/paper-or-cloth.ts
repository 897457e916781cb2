// Paper lies flat, cloth stretches: how far the lines of a strip bear either out decides how even its steps may be
// taken, beyond the last that is seen too.
import { choleskyFactor, forwardSubstitute, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";
import type { LinearFit } from "#shared/statistics/linear-least-squares.ts";

/** Odds of paper against cloth before anything is seen. Source: common practice, no source. */
const paperToCloth = 4;

export type Covariance = readonly (readonly number[])[];

export interface EitherFit {
  readonly coefficients: readonly number[];
  /** Of both taken together. */
  readonly covariance: Covariance;
  /** How likely cloth is, and how far its fit and that on paper may lie off the mean of both. */
  readonly clothShare: number;
  readonly onPaper: Covariance;
  readonly onCloth: Covariance;
}

/**
 * The fits of a strip on paper and on cloth taken together, each as likely as it is: their mean, with what they differ
 * in as a part of its covariance.
 * @param paper the fit in which nothing is stretched
 * @param cloth the fit in which cloth may be, to the same observations with the same weights
 * @param terms the places of the terms of stretch among the coefficients
 * @param stretched their values in the fit on cloth
 * @param usualSigmas their standard deviations over all cloth
 * Source: the ratio of the density at no stretch after and before the observations (Savage-Dickey), from memory
 */
export function ofPaperOrCloth({
  paper,
  cloth,
  terms,
  stretched,
  usualSigmas,
}: {
  readonly paper: LinearFit;
  readonly cloth: LinearFit;
  readonly terms: readonly number[];
  readonly stretched: readonly number[];
  readonly usualSigmas: readonly number[];
}): EitherFit {
  const after = terms.map((i) => terms.map((j) => cloth.unscaledCovariance[i]![j]!));
  const before = usualSigmas.reduce((sum, sigma) => sum - Math.log(sigma), 0);
  const oddsOfPaper = paperToCloth * Math.exp(logDensityAt(stretched, after) - before);
  const share = Number.isFinite(oddsOfPaper) ? oddsOfPaper / (1 + oddsOfPaper) : 1;
  const apart = paper.coefficients.map((value, i) => value - cloth.coefficients[i]!);
  const about = ({ unscaledCovariance }: LinearFit, awayShare: number): Covariance =>
    unscaledCovariance.map((row, i) => row.map((value, j) => value + awayShare ** 2 * apart[i]! * apart[j]!));
  const [onPaper, onCloth] = [about(paper, 1 - share), about(cloth, share)];
  return {
    coefficients: apart.map((off, i) => cloth.coefficients[i]! + share * off),
    covariance: onPaper.map((row, i) => row.map((value, j) => share * value + (1 - share) * onCloth[i]![j]!)),
    clothShare: 1 - share,
    onPaper,
    onCloth,
  };
}

/** Pivots of a covariance that rounding leaves just short of 0 are raised to this [shares of the length, squared]. */
const leastPivot = 1e-14;

/** Logarithm of a normal distribution's density at a place, but for a factor that hangs on its dimension alone. */
function logDensityAt(place: readonly number[], covariance: Covariance): number {
  const factor = choleskyFactor(Float64Array.from(covariance.flat()), place.length, { leastPivot });
  const standardised = forwardSubstitute(factor, place);
  return -0.5 * (logDeterminantOf(factor, place.length) + dotProduct(standardised, standardised));
}
