// A studio's own tablet as a request of a test carries it.
import type { Tablet } from "#shared/schema/reading.ts";
import type { TabletInput } from "#shared/schema/tablets.ts";
import { calibratedToleranceDensity, nominalTablet, nominalToleranceDensity } from "./tolerance.ts";

/**
 * The tablet with its densities in the studio's light and how well they are known: what was calibrated replaces what is
 * usual of a label.
 * Source: H = E t 10^-D; common practice, no source.
 */
export function tabletForRequest(tablet: TabletInput): Extract<Tablet, { densities: number[] }> {
  return {
    kind: "transmission",
    densities: tablet.densities.map((density) => Math.max(0, tablet.baseShiftDensity + tablet.scale * density)),
    toleranceDensity:
      tablet.toleranceDensity ?? (tablet.isMeasured ? calibratedToleranceDensity : nominalToleranceDensity),
    scaleSigmaShare: tablet.scaleSigmaShare ?? nominalTablet.scaleSigmaShare,
    baseSigmaDensity: tablet.baseSigmaDensity ?? nominalTablet.baseSigmaDensity,
  };
}
