// Nonlinear least squares: Levenberg-Marquardt with Nielsen's damping; each step is solved by QR, never by normal
// equations.
import { leastSquaresSolution, linearLeastSquares } from "./linear-least-squares.ts";

type StopReason =
  /** No parameter moves any more, relative to its size. */
  | "step-small"
  /** The residuals stand at right angles to every direction in which the model can move. */
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
  /** Size below which a parameter counts as this large in that comparison; as small as the tolerance when absent. */
  readonly parameterFloor?: number;
}

/** Directions in which a residual could still fall are flat when their cosine is below this. */
const flatCosine = 1e-12;
const almostFlatCosine = 1e-6;
const mostAttempts = 60;

/**
 * Parameters that minimise the sum of squared residuals.
 * The Jacobian is taken by central differences; look at `stopped` before trusting the answer.
 * @throws RangeError when there are fewer residuals than parameters
 * Source: Marquardt1963; damping Nielsen1999; checked against NistStrd.
 */
export function levenbergMarquardt({
  residuals,
  start,
  maxIterations = 400,
  stepTolerance = 1e-11,
  parameterFloor = stepTolerance,
}: NonlinearProblem): NonlinearFit {
  let parameters = [...start];
  let r = residuals(parameters);
  if (r.length < parameters.length)
    throw new RangeError(`${parameters.length} parameters need at least as many residuals, got ${r.length}`);
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
  const scale = new Float64Array(parameters.length);
  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    if (sum < 1e-300) return finish("exact", iteration);
    const jacobian = centralDifferences(residuals, parameters);
    const flatness = steepestCosine(jacobian, r, Math.sqrt(sum), scale);
    if (flatness < flatCosine) return finish("gradient-small", iteration);

    for (let attempt = 0; ; attempt++) {
      const step = attempt > mostAttempts ? null : dampedStep(jacobian, r, scale, damping);
      if (step === null) return finish(stopWithoutStep(flatness), iteration);
      const tried = parameters.map((value, j) => value + step[j]!);
      const isTiny = step.every(
        (value, j) => Math.abs(value) <= stepTolerance * (Math.abs(parameters[j]!) + parameterFloor),
      );
      const triedResiduals = residuals(tried);
      const triedSum = sumOfSquares(triedResiduals);
      if (isNoWorse(triedSum, sum)) {
        const gain = (sum - triedSum) / (sum - sumAfterLinearStep(jacobian, r, step));
        parameters = tried;
        r = triedResiduals;
        sum = triedSum;
        damping = Math.max(damping * Math.max(1 / 3, 1 - (2 * gain - 1) ** 3), 1e-18);
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

/** Where no step helps any more: at the bottom as nearly as numbers tell, or stuck on a slope. */
function stopWithoutStep(flatness: number): StopReason {
  return flatness < almostFlatCosine ? "gradient-small" : "stuck";
}

function isNoWorse(triedSum: number, sum: number): boolean {
  return triedSum <= sum && Number.isFinite(triedSum);
}

function sumOfSquares(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}

/** Rows of observations. */
function centralDifferences(
  residuals: (parameters: readonly number[]) => readonly number[],
  at: readonly number[],
): Float64Array[] {
  const n = at.length;
  let rows: Float64Array[] = [];
  const moved = [...at];
  for (let j = 0; j < n; j++) {
    const value = at[j]!;
    // The cube root of the machine precision balances truncation against rounding for central differences.
    const delta = 6e-6 * Math.max(Math.abs(value), 1e-4);
    moved[j] = value + delta;
    const above = moved[j]!;
    const high = residuals(moved);
    moved[j] = value - delta;
    const width = above - moved[j]!;
    const low = residuals(moved);
    moved[j] = value;
    if (j === 0) rows = high.map(() => new Float64Array(n));
    for (let i = 0; i < high.length; i++) {
      const derivative = (high[i]! - low[i]!) / width;
      rows[i]![j] = Number.isFinite(derivative) ? derivative : 0;
    }
  }
  return rows;
}

/** Largest cosine between the residuals and a column; keeps the largest length seen of each column in `scale`. */
function steepestCosine(
  jacobian: readonly Float64Array[],
  r: readonly number[],
  length: number,
  scale: Float64Array,
): number {
  let steepest = 0;
  for (let j = 0; j < scale.length; j++) {
    let norm = 0;
    let dot = 0;
    for (let i = 0; i < r.length; i++) {
      const value = jacobian[i]![j]!;
      norm += value * value;
      dot += value * r[i]!;
    }
    norm = Math.sqrt(norm);
    scale[j] = Math.max(scale[j]!, norm);
    if (norm > 0) steepest = Math.max(steepest, Math.abs(dot) / (norm * length));
  }
  return steepest;
}

function sumAfterLinearStep(jacobian: readonly Float64Array[], r: readonly number[], step: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) {
    let value = r[i]!;
    const row = jacobian[i]!;
    for (let j = 0; j < step.length; j++) value += row[j]! * step[j]!;
    sum += value * value;
  }
  return sum;
}

/** Solves min |J s + r|^2 + damping |scale s|^2. */
function dampedStep(
  jacobian: readonly Float64Array[],
  r: readonly number[],
  scale: Float64Array,
  damping: number,
): Float64Array | null {
  const n = scale.length;
  const design = [...jacobian];
  const response = new Float64Array(r.length + n);
  for (let i = 0; i < r.length; i++) response[i] = -r[i]!;
  const root = Math.sqrt(damping);
  for (let j = 0; j < n; j++) {
    const row = new Float64Array(n);
    row[j] = root * Math.max(scale[j]!, 1e-12);
    design.push(row);
  }
  const step = leastSquaresSolution(design, response);
  return step !== null && step.every(Number.isFinite) ? step : null;
}

function covarianceAt(
  residuals: (parameters: readonly number[]) => readonly number[],
  at: readonly number[],
): readonly (readonly number[])[] | null {
  const jacobian = centralDifferences(residuals, at);
  try {
    const fit = linearLeastSquares({ design: jacobian, response: new Float64Array(jacobian.length) });
    return fit.unscaledCovariance.every((row) => row.every(Number.isFinite)) ? fit.unscaledCovariance : null;
  } catch {
    return null;
  }
}
