// What the fitted model says: the time of a combination, of the next print, and what the newest test did to it.
import { type ChangeEvent, type Circumstances, type Observation } from "./observation.ts";
import { rangeOf, shareBelow, sigmaOf, withPrintScatter, type LogRange, type Part } from "./mixture.ts";
import { covarianceOf, timeOf } from "./solve.ts";
import type { Account, StudioFit } from "./studio-fit.ts";
import { rowFrom, type Row } from "./system.ts";
import { knownLogSeconds, termsOf, termsOfObservation, varianceOf, type Term } from "./unknowns.ts";
import { chanceOfChangeSince, chancesOfChangeSince, unnotedSpread } from "./unnoted-changes.ts";

export interface TimePrediction {
  /** The combination's own time: what the mean of many prints would need. */
  readonly calibration: LogRange;
  /** The next print's. */
  readonly nextPrint: LogRange;
  /** Standard deviation of the combination's time [log10]. */
  readonly sigma: number;
  /** Print scatter that the studio shows [log10], the mean of what is plausible. */
  readonly printSpread: number;
}

type SpreadPart = Part & { readonly printSpread: number };

/** The time of these circumstances; what was never tested brings its usual spread. */
export function predictTime(fit: StudioFit, of: Circumstances): TimePrediction {
  const byAccount = fit.accounts.map((account) => partsIn(fit, account, of));
  const parts = byAccount.flat();
  const weights = parts.reduce((sum, part) => sum + part.weight, 0);
  const middle = middleOf(fit, byAccount);
  const about = (range: LogRange): LogRange => (middle === null ? range : { ...range, logSeconds: middle });
  return {
    calibration: about(rangeOf(parts)),
    nextPrint: about(rangeOf(withPrintScatter(parts))),
    sigma: sigmaOf(parts),
    printSpread: parts.reduce((sum, part) => sum + part.weight * part.printSpread, 0) / weights,
  };
}

/**
 * Mean of the account that is likelier than all others together, so that a known shift carries over exactly; null
 * without one.
 */
function middleOf({ accounts }: StudioFit, byAccount: readonly (readonly SpreadPart[])[]): number | null {
  const [account] = accounts;
  const parts = byAccount[0];
  if (account === undefined || parts === undefined || account.share <= 0.5) return null;
  const total = parts.reduce((sum, part) => sum + part.weight, 0);
  return parts.reduce((sum, part) => sum + part.weight * part.mean, 0) / total;
}

function partsIn(fit: StudioFit, account: Account, of: Circumstances): SpreadPart[] {
  const { system, solutions } = account;
  const row = rowFrom(termsOf(of, system.frame), system.numberOf, knownLogSeconds(of));
  return solutions.flatMap(({ solution, weight }) => {
    const { mean, variance } = timeOf(solution, row);
    return withChangeSince(fit, account, of, { mean, variance, weight, printSpread: solution.spreads.print });
  });
}

/** Something may have changed unnoted since it was last tested, so that no test could show it. */
function withChangeSince(fit: StudioFit, { changes }: Account, of: Circumstances, part: SpreadPart): SpreadPart[] {
  const chance = chanceOfChangeSince(fit.records, of, [...fit.found, ...changes]);
  if (chance === 0) return [part];
  return [
    { ...part, weight: part.weight * (1 - chance) },
    { ...part, weight: part.weight * chance, variance: part.variance + unnotedSpread ** 2 },
  ];
}

/**
 * The same as unknowns, each with the standard deviation that the chance gives it: a test of a lamp tells whether it
 * changed.
 */
function changeTerms({ records, found }: StudioFit, { changes }: Account, of: Circumstances): Term[] {
  return chancesOfChangeSince(records, of, [...found, ...changes]).map(({ scope, id, chance }) => ({
    key: `since ${scope} ${id}`,
    kind: "fixed",
    coefficient: 1,
    sigma: unnotedSpread * Math.sqrt(chance),
  }));
}

/** How one test stands to everything else that was seen. */
export interface Standing {
  /** What the others said before it [log10], and it less that. */
  readonly expected: LogRange;
  readonly differenceLogH: number;
  /** Chance that a test made alike differs at least so much, either way. */
  readonly chance: number;
}

/**
 * Holds a measured test against all that was seen without it.
 * @param others a fit in which the test does not stand
 * @returns null when it measured nothing
 */
export function standingBeside(others: StudioFit, test: Observation): Standing | null {
  const { seen } = test;
  if (seen.kind !== "measured" || others.observations.length === 0) return null;
  const predictive = withPrintScatter(
    others.accounts.flatMap((account) => {
      const { system, solutions } = account;
      const row = rowFrom(termsOfObservation(test, system.frame), system.numberOf, knownLogSeconds(test));
      return solutions.flatMap(({ solution, weight }) => {
        const { mean, variance } = timeOf(solution, row);
        const part = { mean, variance: variance + seen.sigma ** 2, weight, printSpread: solution.spreads.print };
        return withChangeSince(others, account, test, part);
      });
    }),
  );
  const below = shareBelow(predictive, seen.logSeconds);
  const expected = rangeOf(predictive);
  return { expected, differenceLogH: seen.logSeconds - expected.logSeconds, chance: 2 * Math.min(below, 1 - below) };
}

export interface SuspectedChange {
  readonly event: ChangeEvent;
  readonly share: number;
}

/** Belief that something changed unnoted, beside what is already held as a fact; the likeliest first. */
export function suspectedChanges(fit: StudioFit): SuspectedChange[] {
  const shares = new Map<string, SuspectedChange>();
  for (const { changes, share } of fit.accounts)
    for (const event of changes) shares.set(event.id, { event, share: share + (shares.get(event.id)?.share ?? 0) });
  return [...shares.values()].sort((a, b) => b.share - a.share);
}

/**
 * Standard deviation of the wanted time after one more test of some circumstances [log10].
 * @param testSigma of that test by itself
 * Source: Lindley1956 (information of an experiment), for the normal distribution.
 */
export function sigmaAfterTest(fit: StudioFit, wanted: Circumstances, test: Circumstances, testSigma: number): number {
  const parts = fit.accounts.flatMap((account) => {
    const { system, solutions } = account;
    const rowOf = (of: Circumstances): Row =>
      rowFrom([...termsOf(of, system.frame), ...changeTerms(fit, account, of)], system.numberOf, knownLogSeconds(of));
    const [row, other] = [rowOf(wanted), rowOf(test)];
    return solutions.map(({ solution, weight }): Part => {
      const time = timeOf(solution, row);
      const tested = timeOf(solution, other);
      const common = row.untouched.flatMap((term) => {
        const twin = other.untouched.find(({ key }) => key === term.key);
        return twin === undefined ? [] : [{ term, twin }];
      });
      const shared = common.reduce(
        (sum, { term, twin }) => sum + term.coefficient * twin.coefficient * varianceOf(term, solution.spreads),
        covarianceOf(solution, row, other),
      );
      const noise = tested.variance + testSigma ** 2 + solution.spreads.print ** 2;
      return { mean: 0, variance: Math.max(0, time.variance - shared ** 2 / noise), weight };
    });
  });
  return sigmaOf(parts);
}
