// What a step of a print loses by each wash, or each day in light: an exponential loss fitted to its readings.
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { FadingRefusal, FadingWarning } from "./fading-facts.ts";

export interface FadingPoint {
  /** Washes or days in light before this reading, 0 or more. */
  readonly at: number;
  readonly density: number;
  /** Standard uncertainty of the density, above 0. */
  readonly sigma: number;
}

interface WithRange {
  readonly value: number;
  /** Ends of the 95 % range. */
  readonly lower: number;
  readonly upper: number;
}

export interface FadingCurve {
  readonly startDensity: number;
  /** Loss by each wash or day as a share of what is there, natural logarithm; below 0 the step grew darker. */
  readonly rate: WithRange;
  /** How much more the readings scatter about the curve than their uncertainties say; 1 when they do not. */
  readonly scatter: number;
  /** Furthest reading. */
  readonly measuredTo: number;
  /** Logarithm of the density at the start and the rate, with their covariance. */
  readonly line: {
    readonly logStart: number;
    readonly variance: readonly [start: number, both: number, rate: number];
  };
}

/** Two readings always lie on a curve: only a third can disagree. */
const fewestReadings = 3;
const fewestStages = 2;
/** A density of fewer sigmas has no logarithm worth fitting. common practice, no source */
const fewestSigmas = 4;

/**
 * Exponential loss of density, D(n) = D0 exp(-k n), fitted to the logarithms of the readings by weighted least squares;
 * where they scatter more than their uncertainties say, these are widened by that much.
 * @param points readings of one step, in any order
 * @returns the curve, or why there is none
 * Source: first-order-fading (loss in proportion to what is left, from memory); Birge1932 from memory (widening).
 */
export function fadingCurve(points: readonly FadingPoint[]): FadingCurve | FadingRefusal {
  if (points.length < fewestReadings)
    return { code: "too-few-readings", readings: points.length, needed: fewestReadings };
  const stages = new Set(points.map(({ at }) => at)).size;
  if (stages < fewestStages) return { code: "too-few-stages", stages, needed: fewestStages };
  const pale = points.find(({ density, sigma }) => density < fewestSigmas * sigma);
  if (pale !== undefined) return { code: "step-too-pale", density: pale.density };
  const fit = linearLeastSquares({
    design: points.map(({ at }) => [1, -at]),
    response: points.map(({ density }) => Math.log(density)),
    sigma: points.map(({ density, sigma }) => sigma / density),
  });
  const [logStart = 0, value = 0] = fit.coefficients;
  const [[start = 0, both = 0] = [], [, rate = 0] = []] = fit.unscaledCovariance;
  const scatter = Math.max(1, Math.sqrt(fit.residualSumSquares / fit.degreesOfFreedom));
  const wider = scatter ** 2;
  const half = rangeSigmas * Math.sqrt(rate) * scatter;
  return {
    startDensity: Math.exp(logStart),
    rate: { value, lower: value - half, upper: value + half },
    scatter,
    measuredTo: Math.max(...points.map(({ at }) => at)),
    line: { logStart, variance: [start * wider, both * wider, rate * wider] },
  };
}

/** Whether readings made no curve. */
export function isRefused(curve: FadingCurve | FadingRefusal): curve is FadingRefusal {
  return "code" in curve;
}

/**
 * Density of the step after so many washes or days, with the 95 % range of the fitted curve.
 * @param at washes or days, 0 or more
 * Source: first-order-fading; the variance of a sum of correlated terms.
 */
export function densityAfter({ line, rate }: FadingCurve, at: number): WithRange {
  const [start, both, slope] = line.variance;
  const value = line.logStart - rate.value * at;
  const half = rangeSigmas * Math.sqrt(Math.max(0, start - 2 * at * both + at ** 2 * slope));
  return { value: Math.exp(value), lower: Math.exp(value - half), upper: Math.exp(value + half) };
}

/** Share of the density at the start that is left after so many washes or days, with its 95 % range. */
export function shareLeftAfter({ rate }: FadingCurve, at: number): WithRange {
  return { value: Math.exp(-rate.value * at), lower: Math.exp(-rate.upper * at), upper: Math.exp(-rate.lower * at) };
}

/**
 * Washes or days until half of the density is left, with the 95 % range.
 * @returns null where the loss cannot be told from none
 */
export function halfAfter({ rate }: FadingCurve): WithRange | null {
  if (!(rate.lower > 0)) return null;
  const until = (each: number): number => Math.LN2 / each;
  return { value: until(rate.value), lower: until(rate.upper), upper: until(rate.lower) };
}

/** Scatter beyond which the shape of the loss is in doubt. common practice, no source */
const doubtfulScatter = 2;

/**
 * What to take care of with a series.
 * @param curves fitted steps
 * @param readings of the whole series
 * @param asked washes or days that the answer is for
 */
export function fadingWarnings({
  curves,
  readings,
  asked,
}: {
  readonly curves: readonly { readonly step: number; readonly curve: FadingCurve }[];
  readonly readings: readonly { readonly washes: number; readonly lightDays: number }[];
  readonly asked: number;
}): FadingWarning[] {
  const measuredTo = Math.max(0, ...curves.map(({ curve }) => curve.measuredTo));
  const differs = (field: "washes" | "lightDays"): boolean => new Set(readings.map((each) => each[field])).size > 1;
  const untold = curves.filter(({ curve }) => !(curve.rate.lower > 0)).map(({ step }) => step);
  const scattered = curves.filter(({ curve }) => curve.scatter > doubtfulScatter);
  return [
    ...(differs("washes") && differs("lightDays") ? [{ code: "washes-and-light-together" } as const] : []),
    ...(curves.length > 0 && asked > measuredTo ? [{ code: "beyond-readings", asked, measuredTo } as const] : []),
    ...(untold.length > 0 ? [{ code: "no-loss-told", steps: untold } as const] : []),
    ...(scattered.length > 0
      ? [
          {
            code: "not-by-halves",
            steps: scattered.map(({ step }) => step),
            scatter: Math.max(...scattered.map(({ curve }) => curve.scatter)),
          } as const,
        ]
      : []),
    ...(curves.length > 0 ? [{ code: "one-photo-each" } as const] : []),
  ];
}
