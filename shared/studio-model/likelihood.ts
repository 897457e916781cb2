// How well one observation goes with a log time, and the normal observation that stands for it near that time.
import { normalDensityAt, normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import type { Seen } from "./observation.ts";

/** What an observation says near a log time: as if `target` had been measured with precision `weight`. */
export interface Pull {
  readonly target: number;
  /** 1 / variance. */
  readonly weight: number;
  readonly logLikelihood: number;
}

/**
 * Degrees of freedom of Student's t for prints that fall out of line: a bad stroke, a wet sheet. Infinite: the normal distribution.
 * common practice, no source
 */
export const usualTailDegrees = 8;
/** A judgement by eye is a slip in so many cases: another sheet, another lamp. common practice, no source */
const slipShare = 0.03;
const leastProbability = 1e-12;

/**
 * @param seen with the known part taken off, as `logSeconds` is
 * @param logSeconds where the observation is weighed
 * @param printSpread scatter from print to print [log10]
 * Source: Lange1989 for the weights of Student's t; RasmussenWilliams2006 3.4 for the normal that stands for a bound.
 */
export function pullOf(seen: Seen, logSeconds: number, printSpread: number, tailDegrees: number): Pull {
  const variance = seen.sigma ** 2 + printSpread ** 2;
  if (seen.kind === "measured") {
    const square = (seen.logSeconds - logSeconds) ** 2 / variance;
    if (tailDegrees === Infinity)
      return {
        target: seen.logSeconds,
        weight: 1 / variance,
        logLikelihood: -0.5 * (square + Math.log(variance)),
      };
    return {
      target: seen.logSeconds,
      weight: (tailDegrees + 1) / (tailDegrees + square) / variance,
      logLikelihood: -0.5 * ((tailDegrees + 1) * Math.log1p(square / tailDegrees) + Math.log(variance)),
    };
  }
  const spread = Math.sqrt(variance);
  const upper = seen.upper === null ? null : (seen.upper - logSeconds) / spread;
  const lower = seen.lower === null ? null : (seen.lower - logSeconds) / spread;
  const inside = Math.max(
    leastProbability,
    (upper === null ? 1 : normalShareBelow(upper)) - (lower === null ? 0 : normalShareBelow(lower)),
  );
  const [atLower, atUpper] = [lower === null ? 0 : normalDensityAt(lower), upper === null ? 0 : normalDensityAt(upper)];
  const slope = (atLower - atUpper) / (spread * inside);
  const curvature = slope ** 2 - ((lower ?? 0) * atLower - (upper ?? 0) * atUpper) / (variance * inside);
  // The share of it that is no slip: what it says is taken with that weight.
  const meant = ((1 - slipShare) * inside) / ((1 - slipShare) * inside + slipShare);
  const weight = meant * Math.min(1 / variance, Math.max(curvature, 1e-6 / variance));
  return {
    target: logSeconds + (meant * slope) / weight,
    weight,
    logLikelihood: Math.log((1 - slipShare) * inside + slipShare),
  };
}
