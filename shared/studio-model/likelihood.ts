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
 * How errors fall. "robust": Student's t about the time, and now and then a blunder that tells nothing of how prints
 * scatter: another sheet, another lamp, a wrong time noted. "normal": the normal distribution alone.
 */
export type Errors = "robust" | "normal";

/**
 * Degrees of freedom of Student's t for prints that fall out of line: a bad stroke, a wet sheet. common practice, no
 * source
 */
export const tailDegrees = 8;
/** Height of that t at its middle, for scale 1: gamma(9/2) / (gamma(4) sqrt(8 pi)). Source: Student1908. */
const tailHeight = 0.386699;
const normalHeight = 1 / Math.sqrt(2 * Math.PI);
/**
 * A test is a blunder in so many cases, and then off by so much [log10, standard deviation]. common practice, no source
 */
export const blunderShare = 0.02;
export const blunderSpread = 0.3;
/** A judgement by eye is a slip in so many cases: another sheet, another lamp. common practice, no source */
const slipShare = 0.03;
const leastProbability = 1e-12;

/**
 * @param seen with the known part taken off, as `logSeconds` is
 * @param logSeconds where the observation is weighed
 * @param printSpread scatter from print to print [log10]
 * Source: Lange1989 for the weights of Student's t; BoxTiao1968 for blunders; RasmussenWilliams2006 3.4 for the normal
 *   that
 * stands for a bound.
 */
export function pullOf(seen: Seen, logSeconds: number, printSpread: number, errors: Errors): Pull {
  const variance = seen.sigma ** 2 + printSpread ** 2;
  if (seen.kind === "between") return pullOfBounds(seen, logSeconds, variance);
  const square = (seen.logSeconds - logSeconds) ** 2;
  const alike = square / variance;
  if (errors === "normal")
    return {
      target: seen.logSeconds,
      weight: 1 / variance,
      logLikelihood: -0.5 * (alike + Math.log(variance)) + Math.log(normalHeight),
    };
  const wide = variance + blunderSpread ** 2;
  const meant = ((1 - blunderShare) * tailHeight) / (nineHalves(1 + alike / tailDegrees) * Math.sqrt(variance));
  const blunder = (blunderShare * normalHeight * Math.exp(-square / wide / 2)) / Math.sqrt(wide);
  const share = meant / (meant + blunder);
  return {
    target: seen.logSeconds,
    weight: (share * (tailDegrees + 1)) / (tailDegrees + alike) / variance + (1 - share) / wide,
    logLikelihood: Math.log(meant + blunder),
  };
}

/** x to the power of 9/2, (tailDegrees + 1) / 2; products are quicker than the general power. */
function nineHalves(x: number): number {
  const square = x * x;
  return square * square * Math.sqrt(x);
}

function pullOfBounds(seen: Seen & { readonly kind: "between" }, logSeconds: number, variance: number): Pull {
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
