// The model's unknowns in one world: their most likely values, how sure they are, and how well that world goes with
// what was seen.
import {
  sparseFactor,
  sparseLogDeterminant,
  sparseQuadraticForm,
  sparseSolve,
  type SparseFactor,
} from "#shared/statistics/sparse-cholesky.ts";
import { pullOf, type Errors } from "./likelihood.ts";
import type { Spreads } from "./spreads.ts";
import type { Equations, Row } from "./system.ts";
import { varianceOf } from "./unknowns.ts";

export interface Solution {
  readonly spreads: Spreads;
  readonly values: Float64Array;
  /** Of the precision of the unknowns. */
  readonly factor: SparseFactor;
  /** Laplace's estimate of log p(seen | spreads), up to a constant. */
  readonly logEvidence: number;
  /** By observation: precision with which it counted. */
  readonly weights: Float64Array;
  /** By observation: its target less the model's time. */
  readonly residuals: Float64Array;
  /** Whether the values had settled, and after how many rounds. */
  readonly hasConverged: boolean;
  readonly rounds: number;
}

export interface SolveOptions {
  readonly errors?: Errors;
  /** Values to begin from. */
  readonly start?: Float64Array | undefined;
  readonly mostRounds?: number;
}

/** Far below what any print shows; exact where all is normal. */
const settledLogSeconds = 5e-4;
/** Scatter with which tests are weighed before any time is known [log10]. */
const levellingSpread = 0.1;

/**
 * Exact where all observations are normal; else by reweighting until the values stand still (Laplace).
 * Source: Henderson1975 (the mixed model's equations); Lange1989; RasmussenWilliams2006 3.4.
 */
export function solveSystem(
  system: Equations,
  spreads: Spreads,
  { errors = "robust", start, mostRounds = 25 }: SolveOptions = {},
): Solution {
  const { cells, seen, cellOf, unknowns } = system;
  const priorVariances = unknowns.map((unknown) => varianceOf(unknown, spreads));
  let values = start ?? new Float64Array(unknowns.length);
  const weights = new Float64Array(seen.length);
  const residuals = new Float64Array(seen.length);
  let likelihood = 0;
  const weigh = (times: Float64Array, how: Errors, printSpread: number): void => {
    likelihood = 0;
    seen.forEach((each, i) => {
      const time = times[cellOf[i]!]!;
      const pull = pullOf(each, time, printSpread, how);
      weights[i] = pull.weight;
      residuals[i] = pull.target - time;
      likelihood += pull.logLikelihood;
    });
  };
  const isNormal = errors === "normal" && seen.every(({ kind }) => kind === "measured");
  let times = timesOf(cells, values);
  // Begun with nothing, all tests count alike first, so that none is taken for a blunder because it came late.
  if (start === undefined && !isNormal) weigh(times, "normal", Math.hypot(spreads.print, levellingSpread));
  else weigh(times, errors, spreads.print);
  let factor: SparseFactor;
  let rounds = 0;
  let hasConverged: boolean;
  for (;;) {
    rounds++;
    const { elements, right } = normalEquations(system, priorVariances, (add) => {
      for (let i = 0; i < seen.length; i++) {
        const cell = cellOf[i]!;
        add.weights[cell]! += weights[i]!;
        add.pulls[cell]! += weights[i]! * (residuals[i]! + times[cell]!);
      }
    });
    factor = sparseFactor(system.pattern, elements);
    values = sparseSolve(factor, right);
    const next = timesOf(cells, values);
    let moved = 0;
    for (let c = 0; c < next.length; c++) moved = Math.max(moved, Math.abs(next[c]! - times[c]!));
    times = next;
    weigh(times, errors, spreads.print);
    hasConverged = isNormal || (moved < settledLogSeconds && (rounds > 1 || start !== undefined));
    if (hasConverged || rounds >= mostRounds) break;
  }
  let logEvidence = likelihood - sparseLogDeterminant(factor) / 2;
  priorVariances.forEach((variance, i) => {
    logEvidence -= (values[i]! ** 2 / variance + Math.log(variance)) / 2;
  });
  return { spreads, values, factor, logEvidence, weights, residuals, hasConverged, rounds };
}

/** The mixed model's equations, from the weight and the pull of each cell. */
function normalEquations(
  { cells, unknowns, diagonal, pattern }: Equations,
  priorVariances: readonly number[],
  weigh: (add: { readonly weights: Float64Array; readonly pulls: Float64Array }) => void,
): { elements: Float64Array; right: Float64Array } {
  const elements = new Float64Array(pattern.rowOf.length);
  priorVariances.forEach((variance, i) => (elements[diagonal[i]!]! += 1 / variance));
  const [weights, pulls] = [new Float64Array(cells.length), new Float64Array(cells.length)];
  weigh({ weights, pulls });
  const right = new Float64Array(unknowns.length);
  for (let c = 0; c < cells.length; c++) {
    const { unknowns: at, coefficients, places, products } = cells[c]!;
    const [weight, pull] = [weights[c]!, pulls[c]!];
    for (let p = 0; p < places.length; p++) elements[places[p]!]! += weight * products[p]!;
    for (let p = 0; p < at.length; p++) right[at[p]!]! += coefficients[p]! * pull;
  }
  return { elements, right };
}

/** Mean and variance of one log time. */
export function timeOf(
  solution: Pick<Solution, "spreads" | "values" | "factor">,
  row: Row,
): { mean: number; variance: number } {
  const variance = row.untouched.reduce(
    (sum, term) => sum + term.coefficient ** 2 * varianceOf(term, solution.spreads),
    sparseQuadraticForm(solution.factor, fullRow(row, solution.values.length)),
  );
  const mean = row.unknowns.reduce(
    (sum, unknown, i) => sum + row.coefficients[i]! * solution.values[unknown]!,
    row.known,
  );
  return { mean, variance };
}

/** Covariance of two log times, without what only unknowns that nothing touched bring. */
export function covarianceOf({ values, factor }: Pick<Solution, "values" | "factor">, one: Row, other: Row): number {
  const through = sparseSolve(factor, fullRow(one, values.length));
  return other.unknowns.reduce((sum, unknown, i) => sum + other.coefficients[i]! * through[unknown]!, 0);
}

function fullRow({ unknowns, coefficients }: Row, size: number): Float64Array {
  const full = new Float64Array(size);
  unknowns.forEach((unknown, i) => (full[unknown]! += coefficients[i]!));
  return full;
}

function timesOf(cells: readonly Row[], values: Float64Array): Float64Array {
  const times = new Float64Array(cells.length);
  for (let c = 0; c < cells.length; c++) {
    const { unknowns, coefficients } = cells[c]!;
    let time = 0;
    for (let i = 0; i < unknowns.length; i++) time += coefficients[i]! * values[unknowns[i]!]!;
    times[c] = time;
  }
  return times;
}
