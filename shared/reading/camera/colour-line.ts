// A print turns from paper to blue along one line of colour. A step off that line has something else on it.
import { biweight, median, robustSigma } from "#shared/statistics/robust.ts";
import { leastSquaresSolution, linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { varianceOfSum } from "#shared/statistics/variance-of-sum.ts";

/** Densities of one step above paper, with their standard uncertainties. */
export interface ColourDensities {
  readonly red: number;
  readonly green: number;
  readonly blue: number;
  readonly sigma: { readonly red: number; readonly green: number; readonly blue: number };
  /** False where a channel is cut off, so that hue says nothing. */
  readonly isWhole: boolean;
}

/**
 * A step further than this off the line (density) is not print; stain stays below.
 * Source: common practice, no source.
 */
const offLineDensity = 0.06;
/** ... and by more than this many standard uncertainties. */
const offLineSigmas = 6;
/** Terms of the line: green and blue density as a polynomial of red density. */
const terms = 4;
/** Fewest steps that show a line and what strays from it. */
const fewestSteps = terms + 3;
const leastScale = 0.004;
const rounds = 12;

/**
 * Indices (from 0) of steps whose hue does not belong to the print.
 * @param steps in any order; grey pictures have no hue and give none
 * @returns none with fewer than seven whole steps
 * Source: common practice, no source (polynomial with Tukey weights)
 */
export function stepsOffColourLine(steps: readonly ColourDensities[]): number[] {
  const whole = steps.map((step, i) => ({ step, i })).filter(({ step }) => step.isWhole);
  if (whole.length < fewestSteps) return [];
  const rows = whole.map(({ step }) => Array.from({ length: terms }, (_, k) => step.red ** k));
  const off = (channel: "green" | "blue") => {
    const values = whole.map(({ step }) => step[channel]);
    // A start that no single step can pull: each value beside the middle one of its neighbours in red density.
    const byRed = whole.map((_, k) => k).sort((p, q) => whole[p]!.step.red - whole[q]!.step.red);
    let misses = values.map((value, k) => {
      const rank = byRed.indexOf(k);
      return value - median(byRed.slice(Math.max(0, rank - 2), rank + 3).map((near) => values[near]!));
    });
    let coefficients: readonly number[] = [];
    let lineSigma: readonly number[] = [];
    for (let round = 0; round < rounds; round++) {
      const scale = Math.max(leastScale, robustSigma(misses, 0));
      const sigma = misses.map((miss) => Math.min(1e6, 1 / Math.sqrt(biweight(miss / scale))));
      const solution = leastSquaresSolution(rows, values, sigma);
      // Steps of one density, as in a picture of one flat colour, show no line.
      if (solution === null) return values.map(() => false);
      coefficients = [...solution];
      misses = values.map((value, k) => value - rows[k]!.reduce((sum, term, j) => sum + term * coefficients[j]!, 0));
      if (round === rounds - 1) lineSigma = sigmasOfLine(rows, sigma, scale);
    }
    return misses.map((miss, k) => {
      const { step } = whole[k]!;
      const slope = coefficients
        .slice(1)
        .reduce((sum, coefficient, j) => sum + (j + 1) * coefficient * step.red ** j, 0);
      return (
        Math.abs(miss) >
        Math.max(offLineDensity, offLineSigmas * Math.hypot(step.sigma[channel], slope * step.sigma.red, lineSigma[k]!))
      );
    });
  };
  const [green, blue] = [off("green"), off("blue")];
  return whole.filter((_, k) => green[k] || blue[k]).map(({ i }) => i);
}

/**
 * Standard uncertainty of the line at each step. A step that lies alone past the others, as the densest of a test far
 * too short, is compared with a line carried on beyond what holds it, and that knows little there.
 */
function sigmasOfLine(rows: readonly (readonly number[])[], sigma: readonly number[], scale: number): number[] {
  const { unscaledCovariance } = linearLeastSquares({ design: rows, response: rows.map(() => 0), sigma });
  return rows.map((row) => scale * Math.sqrt(varianceOfSum(row, unscaledCovariance)));
}
