// How the times of two circumstances stand to each other, with what they share taken out of the doubt.
import { rangeOf, type LogRange, type Part } from "./mixture.ts";
import type { Circumstances } from "./observation.ts";
import { timeOf } from "./solve.ts";
import type { StudioFit } from "./studio-fit.ts";
import { rowFrom } from "./system.ts";
import { knownLogSeconds, termsOf, type Frame, type Term } from "./unknowns.ts";

/** Two equal circumstances differ by nothing; a normal distribution still needs some width [log10²]. */
const smallestVariance = 1e-12;

/**
 * Time of one circumstance over that of another, as a difference of logarithms. A paper, a coating or a film that both
 * have in common is known no better nor worse for the ratio: only what differs is in doubt.
 * @returns median and 95 % range of log10(time of `of` / time of `over`)
 * Source: Henderson1975 (variance of a difference of predictors in the mixed model).
 */
export function predictRatio(fit: StudioFit, of: Circumstances, over: Circumstances): LogRange {
  const known = knownLogSeconds(of) - knownLogSeconds(over);
  return rangeOf(
    fit.accounts.flatMap(({ system, solutions }) => {
      const row = rowFrom(differenceOf(of, over, system.frame), system.numberOf, known);
      return solutions.map(({ solution, weight }): Part => {
        const { mean, variance } = timeOf(solution, row);
        return { mean, variance: Math.max(variance, smallestVariance), weight };
      });
    }),
  );
}

/** The terms of one log time less those of another; what stands in both alike is gone. */
function differenceOf(of: Circumstances, over: Circumstances, frame: Frame): Term[] {
  const terms = new Map(termsOf(of, frame).map((term) => [term.key, term]));
  for (const term of termsOf(over, frame)) {
    const coefficient = (terms.get(term.key)?.coefficient ?? 0) - term.coefficient;
    terms.set(term.key, { ...term, coefficient });
  }
  return [...terms.values()].filter(({ coefficient }) => coefficient !== 0);
}
