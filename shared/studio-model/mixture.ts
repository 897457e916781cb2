// Answers of several worlds taken together: each says a normal distribution of log time, with a weight of its own.
import { bisection } from "#shared/statistics/bisection.ts";
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";

export interface Part {
  readonly mean: number;
  readonly variance: number;
  /** Any zero; weights are compared, not added to one. */
  readonly weight: number;
}

export interface LogRange {
  /** Median and 95 % range [log10 of seconds]. */
  readonly logSeconds: number;
  readonly lower: number;
  readonly upper: number;
}

/** Median and 95 % range of a mixture. */
export function rangeOf(parts: readonly Part[]): LogRange {
  return { logSeconds: quantileOf(parts, 0.5), lower: quantileOf(parts, 0.025), upper: quantileOf(parts, 0.975) };
}

/** Standard deviation of a mixture. */
export function sigmaOf(parts: readonly Part[]): number {
  const total = parts.reduce((sum, part) => sum + part.weight, 0);
  const mean = parts.reduce((sum, part) => sum + part.weight * part.mean, 0) / total;
  return Math.sqrt(
    parts.reduce((sum, part) => sum + part.weight * (part.variance + (part.mean - mean) ** 2), 0) / total,
  );
}

/** Share of a mixture below a log time. */
export function shareBelow(parts: readonly Part[], logSeconds: number): number {
  let total = 0;
  let below = 0;
  for (const { mean, variance, weight } of parts) {
    total += weight;
    below += weight * normalShareBelow((logSeconds - mean) / Math.sqrt(variance));
  }
  return below / total;
}

/** Quantile, by bisection. */
function quantileOf(parts: readonly Part[], probability: number): number {
  let low = Infinity;
  let high = -Infinity;
  for (const { mean, variance } of parts) {
    low = Math.min(low, mean - 9 * Math.sqrt(variance));
    high = Math.max(high, mean + 9 * Math.sqrt(variance));
  }
  return bisection({ low, high, isBelow: (at) => shareBelow(parts, at) < probability, halvings: 50 }).middle;
}

/**
 * Student's t with 8 degrees of freedom as a mixture of normal distributions: shares of the gamma distribution (4, 4)
 * of precisions, each at its own mean. Holds 95.2 % where t holds 95, 99.1 % where it holds 99.
 * Source: Lange1989; the means integrated numerically.
 */
const tailParts = [
  { share: 0.05, precision: 0.2593 },
  { share: 0.15, precision: 0.4694 },
  { share: 0.3, precision: 0.7467 },
  { share: 0.3, precision: 1.1248 },
  { share: 0.2, precision: 1.7759 },
];

/** The next print beside a mean: scatter of Student's t with 8 degrees of freedom is added to each part. */
export function withPrintScatter(parts: readonly (Part & { readonly printSpread: number })[]): Part[] {
  return parts.flatMap(({ mean, variance, weight, printSpread }) =>
    tailParts.map(({ share, precision }) => ({
      mean,
      variance: variance + printSpread ** 2 / precision,
      weight: weight * share,
    })),
  );
}
