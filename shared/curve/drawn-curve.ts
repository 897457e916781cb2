// A curve as it is drawn, whichever way it was found: averaged shapes, or the smooth fall-back.
import type { Curve, CurveSample } from "#shared/schema/curve.ts";

/** Points of the drawn curve. */
const sampleCount = 161;
/** Shares at which the uncertainty of the log exposure is kept. */
export const keptShares = [0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.925, 0.95, 0.97, 0.985, 0.99] as const;
/**
 * Half width beyond which a density band says nothing more: no film or print is denser than 6 (common practice, no
 * source).
 */
const widestHalfBand = 6;

/** A curve as drawn, whichever way it was found. */
export interface Drawn {
  readonly samples: readonly CurveSample[];
  readonly dMin: number;
  readonly dMax: number;
  readonly sigmaToeLogH: number | null;
  readonly shareSigmas: Curve["shareSigmas"];
  readonly reachedSigmas?: Curve["shareSigmas"];
  readonly named: Pick<Curve, "family" | "parameters" | "covariance" | "residualDensity" | "degreesOfFreedom">;
}

/**
 * A sample with its band, no wider than any print can differ: what is not known at all stays a number that can be
 * drawn.
 */
export function bandAbout(logH: number, density: number, half: number): CurveSample {
  const shown = Number.isFinite(half) ? Math.min(half, widestHalfBand) : widestHalfBand;
  return { logH, density, lower: density - shown, upper: density + shown };
}

/** Rising log exposures over the measured range. */
export function sampledLogH(kept: readonly { readonly logH: number }[]): number[] {
  const lowest = kept[0]!.logH;
  const highest = kept[kept.length - 1]!.logH;
  return Array.from({ length: sampleCount }, (_, i) => lowest + ((highest - lowest) * i) / (sampleCount - 1));
}
