// How uneven a coating is, is not known beforehand: even, usual and bad ones are weighed against each other by what
// the strip shows, and by what earlier sheets of the studio showed.
import type { FittedShape } from "./candidate-shapes.ts";
import type { CoatingSlope } from "./head-to-tail.ts";
import type { CoatingSize } from "./systematic-errors.ts";

/**
 * Unevenness of coatings as multiples of what is usual, and how common each is taken to be: bad ones more than they
 * are, since one strip hardly tells them from even ones and ranges shall hold for them too. Source: common practice, no
 * source; weighed on simulated tests.
 */
export const coatingSizes: readonly CoatingSize[] = [
  { size: 0.3, common: 0.35 },
  { size: 1, common: 0.25 },
  { size: 2.5, common: 0.4 },
];

/**
 * The same sizes, as common as they are in a studio whose sheets showed these slopes.
 * @param slopes of sheets whose strips lay head to tail
 * @param usualGradient standard deviation of a coating of size 1, share of density
 * Source: Bayes' theorem with normal slopes about zero.
 */
export function sizesGivenSlopes(slopes: readonly CoatingSlope[], usualGradient: number): CoatingSize[] {
  const logs = coatingSizes.map(({ size, common }) =>
    slopes.reduce((sum, { share, sigmaShare }) => {
      const variance = (size * usualGradient) ** 2 + sigmaShare ** 2;
      return sum - (Math.log(variance) + share ** 2 / variance) / 2;
    }, Math.log(common)),
  );
  const best = Math.max(...logs);
  const raw = logs.map((log) => Math.exp(log - best));
  const total = raw.reduce((sum, value) => sum + value, 0);
  return coatingSizes.map(({ size }, i) => ({ size, common: raw[i]! / total }));
}

/**
 * A fitted shape as it would be, had another size of the coating's unevenness been known beforehand: no new fit, since
 * all is nearly
 * linear in so small an error.
 * @param size standard deviations of the coating's errors as a multiple of those of the fit
 * @param common share of all coatings
 * Source: the normal distribution's conjugate update by one observation at a time (Sherman and Morrison's formula),
 * from memory.
 */
export function withCoatingSize(shape: FittedShape, { size, common }: CoatingSize): FittedShape {
  const more = 1 / size ** 2 - 1;
  let { parameters, covariance, logEvidence } = shape;
  for (const { parameter } of shape.coatingRows) {
    const column = covariance.map((row) => row[parameter]!);
    const variance = column[parameter]!;
    const held = 1 + more * variance;
    const z = parameters[parameter]!;
    logEvidence -= Math.log(held) / 2 + Math.log(size) + (more * z * z) / (2 * held);
    parameters = parameters.map((value, j) => value - (more * z * column[j]!) / held);
    covariance = covariance.map((row, i) => row.map((value, j) => value - (more * column[i]! * column[j]!) / held));
  }
  return {
    ...shape,
    parameters,
    covariance,
    logEvidence: logEvidence + Math.log(common),
    residuals: (at) => {
      const rows = [...shape.residuals(at)];
      for (const { row } of shape.coatingRows) rows[row]! /= size;
      return rows;
    },
  };
}
