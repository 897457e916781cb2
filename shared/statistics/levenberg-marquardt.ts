// Nonlinear least squares: Levenberg-Marquardt with Nielsen's damping; each step is solved by QR, never by normal equations.
import { linearLeastSquares } from "./linear-least-squares.ts";

export type StopReason =
  /** No parameter moves any more, relative to its size. */
  | "step-small"
  /** The sum of squares falls no more, and the gradient is flat. */
  | "gradient-small"
  /** The model meets the data exactly. */
  | "exact"
  | "too-many-iterations"
  /** No downhill step can be found: the problem is degenerate or the model not smooth. */
  | "stuck"
  /** The model gives no finite value at the start. */
  | "not-finite";

export interface NonlinearFit {
  readonly parameters: readonly number[];
  /** Inverse of J'J at the solution, row-major, or null where the data do not fix every parameter. */
  readonly unscaledCovariance: readonly (readonly number[])[] | null;
  readonly residualSumSquares: number;
  /** Residuals minus parameters. */
  readonly degreesOfFreedom: number;
  readonly iterations: number;
  readonly stopped: StopReason;
  readonly converged: boolean;
}

export interface NonlinearProblem {
  /** Weighted residuals, model minus data, each divided by its sigma. */
  readonly residuals: (parameters: readonly number[]) => readonly number[];
  readonly start: readonly number[];
  readonly maxIterations?: number;
  /** Relative change of the parameters at which the search ends. */
  readonly stepTolerance?: number;
}

/**
 * Parameters that minimise the sum of squared residuals.
 * The Jacobian is taken by central differences; look at `stopped` before trusting the answer.
 * @throws RangeError when there are fewer residuals than parameters
 * Source: Marquardt1963; damping Nielsen1999; checked against NistStrd.
 */
export function levenbergMarquardt({ residuals, start, maxIterations = 400, stepTolerance = 1e-11 }: NonlinearProblem): NonlinearFit {
  let parameters = [...start];
  let r = residuals(parameters);
  if (r.length < parameters.length) throw new RangeError(`${parameters.length} parameters need at least as many residuals, got ${r.length}`);
  let sum = sumOfSquares(r);
  const degreesOfFreedom = r.length - parameters.length;
  const finish = (stopped: StopReason, iterations: number): NonlinearFit => ({
    parameters,
    unscaledCovariance: Number.isFinite(sum) ? covarianceAt(residuals, parameters) : null,
    residualSumSquares: sum,
    degreesOfFreedom,
    iterations,
    stopped,
    converged: stopped === "step-small" || stopped === "gradient-small" || stopped === "exact",
  });
  if (!Number.isFinite(sum)) return finish("not-finite", 0);

  let damping = 1e-3;
  let growth = 2;
  const scale = new Array<number>(parameters.length).fill(0);
  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    if (sum < 1e-300) return finish("exact", iteration);
    const jacobian = centralDifferences(residuals, parameters);
    const columnNorms = parameters.map((_, j) => Math.sqrt(jacobian.reduce((total, row) => total + row[j]! ** 2, 0)));
    columnNorms.forEach((norm, j) => (scale[j] = Math.max(scale[j]!, norm)));
    const flatness = Math.max(...parameters.map((_, j) => (columnNorms[j]! > 0 ? Math.abs(jacobian.reduce((total, row, i) => total + row[j]! * r[i]!, 0)) / (columnNorms[j]! * Math.sqrt(sum)) : 0)));
    if (flatness < 1e-12) return finish("gradient-small", iteration);

    for (let attempt = 0; ; attempt++) {
      const step = dampedStep(jacobian, r, scale, damping);
      if (step === null || attempt > 60) return finish(flatness < 1e-6 ? "gradient-small" : "stuck", iteration);
      const tried = parameters.map((value, j) => value + step[j]!);
      const isTiny = step.every((value, j) => Math.abs(value) <= stepTolerance * (Math.abs(parameters[j]!) + stepTolerance));
      const triedResiduals = residuals(tried);
      const triedSum = sumOfSquares(triedResiduals);
      const predicted = sum - sumOfSquares(jacobian.map((row, i) => r[i]! + row.reduce((total, value, j) => total + value * step[j]!, 0)));
      const gain = (sum - triedSum) / predicted;
      if (triedSum <= sum && Number.isFinite(triedSum)) {
        parameters = tried;
        r = triedResiduals;
        sum = triedSum;
        damping *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3);
        damping = Math.max(damping, 1e-18);
        growth = 2;
        if (isTiny) return finish("step-small", iteration);
        break;
      }
      if (isTiny) return finish("step-small", iteration);
      damping *= growth;
      growth *= 2;
    }
  }
  return finish("too-many-iterations", maxIterations);
}

function sumOfSquares(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}

function centralDifferences(residuals: (parameters: readonly number[]) => readonly number[], at: readonly number[]): number[][] {
  const columns = at.map((value, j) => {
    // The cube root of the machine precision balances truncation against rounding for central differences.
    const delta = 6e-6 * Math.max(Math.abs(value), 1e-4);
    const above = [...at];
    const below = [...at];
    above[j] = value + delta;
    below[j] = value - delta;
    const high = residuals(above);
    const low = residuals(below);
    const width = above[j]! - below[j]!;
    return high.map((h, i) => (h - low[i]!) / width);
  });
  return (columns[0] ?? []).map((_, i) => columns.map((column) => (Number.isFinite(column[i]!) ? column[i]! : 0)));
}

/** Solves min |J s + r|^2 + damping |scale s|^2. */
function dampedStep(jacobian: readonly (readonly number[])[], r: readonly number[], scale: readonly number[], damping: number): readonly number[] | null {
  const root = Math.sqrt(damping);
  const extra = scale.map((value, j) => scale.map((_, k) => (j === k ? root * Math.max(value, 1e-12) : 0)));
  try {
    const fit = linearLeastSquares({ design: [...jacobian, ...extra], response: [...r.map((value) => -value), ...scale.map(() => 0)] });
    return fit.coefficients.every(Number.isFinite) ? fit.coefficients : null;
  } catch {
    return null;
  }
}

function covarianceAt(residuals: (parameters: readonly number[]) => readonly number[], at: readonly number[]): readonly (readonly number[])[] | null {
  const jacobian = centralDifferences(residuals, at);
  try {
    const fit = linearLeastSquares({ design: jacobian, response: jacobian.map(() => 0) });
    return fit.unscaledCovariance.every((row) => row.every(Number.isFinite)) ? fit.unscaledCovariance : null;
  } catch {
    return null;
  }
}
