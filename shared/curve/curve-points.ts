// The named points of a characteristic curve, borrowed from the standard for photographic papers.
import { shoulderShare } from "#shared/limits.ts";
import type { Curve, CurvePoint } from "#shared/schema/curve.ts";
import { densityAt, logHAtDensity, logHAtShare } from "./curve-at.ts";

/** Toe point T: this much density above D-min. Source: Iso6846. */
export const toeDensity = 0.04;
/** Mid point M: this much density above D-min. Source: Iso6846, from memory. */
const midDensity = 0.6;

export interface CurvePoints {
  readonly points: Curve["points"];
  readonly logExposureRange: number | null;
  readonly averageGradient: number | null;
}

/**
 * Toe, mid and shoulder points, log exposure range and average gradient, as in ISO 6846 on a relative log H.
 * A point outside the measured log exposures is null, and so is what is computed from it.
 * @param measured lowest and highest log H of the steps in the fit
 * Source: Iso6846 by way of the project's sensitometry notes; "net" reading of the 90 % point from memory.
 */
export function curvePoints(
  curve: Parameters<typeof densityAt>[0],
  measured: { readonly lowest: number; readonly highest: number },
): CurvePoints {
  const pointAt = (logH: number | null): CurvePoint | null =>
    logH === null || logH < measured.lowest || logH > measured.highest
      ? null
      : { logH, density: densityAt(curve, logH) };
  const net = curve.dMax - curve.dMin;
  const toe = pointAt(logHAtDensity(curve, curve.dMin + toeDensity));
  const mid = pointAt(logHAtDensity(curve, curve.dMin + midDensity));
  const shoulder = pointAt(logHAtShare(curve, shoulderShare));
  const logExposureRange = toe && shoulder && shoulder.logH > toe.logH ? shoulder.logH - toe.logH : null;
  return {
    points: { toe, mid, shoulder },
    logExposureRange,
    averageGradient: logExposureRange === null ? null : (shoulderShare * net - toeDensity) / logExposureRange,
  };
}
