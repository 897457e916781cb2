import type { FittedStep } from "#shared/schema/curve.ts";

/** One step as it comes to the fit. */
export interface CurveStep {
  /** From 1, in tablet order. */
  readonly index: number;
  /** log10 of relative exposure. */
  readonly logH: number;
  /** Standard uncertainty of `logH`, from the tablet's tolerance. */
  readonly sigmaLogH: number;
  /** Above unexposed paper. */
  readonly density: number;
  /** Standard uncertainty of `density`, above 0. */
  readonly sigma: number;
  /** True when the reading itself says that the step cannot be trusted. */
  readonly isFlagged: boolean;
  /** Density of the tablet above the step; null or absent where none lay there. */
  readonly tabletDensity?: number | null;
  /** Place along the strip, -1 at its first step to 1 at its last; null or absent where it has none. */
  readonly place?: number | null;
}

export type LeftOut = FittedStep["leftOut"];
