// How the times of two circumstances stand to each other, with what they share taken out of the doubt.
import { rangeOf, type LogRange, type Part } from "./mixture.ts";
import type { Circumstances } from "./observation.ts";
import { timeOf } from "./solve.ts";
import type { Account, StudioFit } from "./studio-fit.ts";
import { rowFrom } from "./system.ts";
import { knownLogSeconds, termsOf, type Frame, type Term } from "./unknowns.ts";
import { chancesOfChangeSince, unnotedSpread } from "./unnoted-changes.ts";

/** Two equal circumstances differ by nothing; a normal distribution still needs some width [log10²]. */
const smallestVariance = 1e-12;

/**
 * Time of one circumstance over that of another, as a difference of logarithms. A paper, a coating or a film that both
 * have in common is known no better nor worse for the ratio: only what differs is in doubt, also whether it changed
 * unnoted since it was last tested.
 * @returns median and 95 % range of log10(time of `of` / time of `over`)
 * Source: Henderson1975 (variance of a difference of predictors in the mixed model); HoetingEtAl1999 (weighing).
 */
export function predictRatio(fit: StudioFit, of: Circumstances, over: Circumstances): LogRange {
  const known = knownLogSeconds(of) - knownLogSeconds(over);
  return rangeOf(
    fit.accounts.flatMap((account) => {
      const { system, solutions } = account;
      const changed = chancesOfChanges(fit, account, of, over);
      const row = rowFrom(differenceOf(of, over, system.frame), system.numberOf, known);
      return solutions.flatMap(({ solution, weight }): Part[] => {
        const { mean, variance } = timeOf(solution, row);
        return changed.map((chance, count) => ({
          mean,
          variance: Math.max(variance, smallestVariance) + count * unnotedSpread ** 2,
          weight: weight * chance,
        }));
      });
    }),
  );
}

/** Chance that none, one, two … of the parts that only one of both has changed since they were last tested. */
function chancesOfChanges(
  { records, found }: StudioFit,
  { changes }: Account,
  of: Circumstances,
  over: Circumstances,
): number[] {
  const chancesOf = (each: Circumstances) => chancesOfChangeSince(records, each, [...found, ...changes]);
  const [ofOne, ofOther] = [chancesOf(of), chancesOf(over)];
  const without = (parts: typeof ofOne, others: typeof ofOne) =>
    parts.filter(({ scope, id }) => !others.some((other) => other.scope === scope && other.id === id));
  let counts = [1];
  for (const { chance } of [...without(ofOne, ofOther), ...without(ofOther, ofOne)]) {
    const next = [...counts, 0];
    counts = next.map((_, n) => (counts[n] ?? 0) * (1 - chance) + (counts[n - 1] ?? 0) * chance);
  }
  return counts;
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
