import type { Curve } from "#shared/schema/curve.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { logHAtShare } from "./curve-at.ts";
import { shoulderShare } from "./curve-points.ts";
import { deltaSigma } from "./delta-method.ts";
import { sigmoidLogH } from "./sigmoid.ts";

/**
 * Standard uncertainty of the log exposure at a share of net D-max.
 * @param share strictly between 0 and 1
 * @returns log10 of exposure; null where the curve does not reach the share or its uncertainty is not known
 */
export function sigmaLogHAtShare(curve: Curve, share: number): number | null {
  if (share === shoulderShare && curve.sigmaLogH.shoulder !== null) return curve.sigmaLogH.shoulder;
  if (curve.family !== "monotone-smooth" && curve.covariance.length > 0) {
    const atShare = deltaSigma(curve.covariance, curve.parameters, (parameters) => sigmoidLogH(parameters, share));
    const atShoulder = deltaSigma(curve.covariance, curve.parameters, (parameters) => sigmoidLogH(parameters, shoulderShare));
    // What the shoulder's stated uncertainty holds beyond the covariance applies to its neighbourhood too.
    return curve.sigmaLogH.shoulder === null || atShoulder === 0 ? atShare : (atShare * curve.sigmaLogH.shoulder) / atShoulder;
  }
  const logH = logHAtShare(curve, share);
  if (logH === null || curve.samples.length < 3) return null;
  let i = curve.samples.findIndex((sample) => sample.logH >= logH);
  i = Math.min(Math.max(i, 1), curve.samples.length - 2);
  const before = curve.samples[i - 1]!;
  const here = curve.samples[i]!;
  const after = curve.samples[i + 1]!;
  const slope = (after.density - before.density) / (after.logH - before.logH);
  return slope > 0 ? (here.upper - here.lower) / 2 / studentT95(curve.degreesOfFreedom) / slope : null;
}
