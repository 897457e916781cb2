// How far a step may be from what its label says.
import type { Tablet } from "#shared/schema/reading.ts";

/**
 * Standard uncertainty of one step of a tablet known only by its even increment. "Within a few hundredths" is taken as
 * two standard uncertainties.
 * Source: from memory.
 */
export const nominalToleranceDensity = 0.02;

/**
 * Standard uncertainty of one step of a calibrated tablet; makers quote about 0.02, taken as two standard
 * uncertainties.
 * Source: from memory.
 */
export const calibratedToleranceDensity = 0.01;

/** Uncovering a strip by hand costs about this long at each move. Source: common practice, no source. */
const handlingSeconds = 0.5;

/** log10(e): turns a relative uncertainty into one of log H. */
const log10E = Math.LOG10E;

/**
 * Standard uncertainty of the log exposure of one step, from the tablet alone.
 * @param input what the step received: density or seconds, as in stepInputs
 * @returns log10 of exposure
 */
export function stepToleranceLogH(tablet: Tablet, input: number): number {
  switch (tablet.kind) {
    case "transmission":
      if (tablet.toleranceDensity !== undefined) return tablet.toleranceDensity;
      return "densities" in tablet ? calibratedToleranceDensity : nominalToleranceDensity;
    case "timed":
      return (log10E * handlingSeconds) / Math.max(input, handlingSeconds);
    case "levels":
    case "sheet":
      return nominalToleranceDensity;
  }
}

/**
 * What the densities of a label may be off by as a whole in ultraviolet, where they were not measured: all in
 * proportion [share], and the clear film [density]. Labels speak of visual density; dyes, silver and film base differ
 * in ultraviolet by a few per cent.
 * Source: common practice, no source.
 */
export const nominalTablet = { scaleSigmaShare: 0.025, baseSigmaDensity: 0.02 } as const;

/** Standard uncertainties of the whole tablet: of its scale [share] and of its clear film [density]. */
export function wholeTabletSigmas(tablet: Tablet): { scaleSigmaShare: number; baseSigmaDensity: number } {
  if (tablet.kind !== "transmission") return { scaleSigmaShare: 0, baseSigmaDensity: 0 };
  return {
    scaleSigmaShare: tablet.scaleSigmaShare ?? nominalTablet.scaleSigmaShare,
    baseSigmaDensity: tablet.baseSigmaDensity ?? nominalTablet.baseSigmaDensity,
  };
}
