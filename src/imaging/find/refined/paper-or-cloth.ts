// Paper lies flat, cloth stretches: how far the lines of a strip bear either out decides how even its steps may be
// taken, beyond the last that is seen too.
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

/** Logarithm of a normal distribution's density at a place, but for a factor that hangs on its dimension alone. */
function logDensityAt(place: readonly number[], covariance: readonly (readonly number[])[]): number {
  // Row by row elimination gives the determinant and the squared distance at once.
  const rows = covariance.map((row, i) => [...row, place[i]!]);
  let [logDeterminant, distance] = [0, 0];
  for (let i = 0; i < rows.length; i++) {
    const pivot = rows[i]![i]!;
    logDeterminant += Math.log(pivot);
    distance += rows[i]![rows.length]! ** 2 / pivot;
    for (let j = i + 1; j < rows.length; j++) {
      const factor = rows[j]![i]! / pivot;
      rows[j] = rows[j]!.map((value, k) => value - factor * rows[i]![k]!);
    }
  }
  return -0.5 * (logDeterminant + distance);
}
