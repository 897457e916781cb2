// What more time buys: seconds for each depth of blue, and what each falls short of the deepest, as the eye sees it.
import type { Curve, DepthRow } from "#shared/schema/curve.ts";
import { densityAt, logHAtDensity, logHAtShare } from "#shared/curve/curve-at.ts";
import { bisection } from "#shared/statistics/bisection.ts";
import { exposureRange } from "./exposure-range.ts";
import type { LightnessByDensity } from "./lightness-by-density.ts";

/** Depths shown, as shares of net D-max. */
const shares = [0.9, 0.95, 0.97, 0.99] as const;
/**
 * The eye sees no deeper blue within this of the maximum: the printers' rule of the first step that merges.
 * Source: common practice, no source.
 */
const merges = 1;

/**
 * Seconds for 90, 95, 97 and 99 % of net D-max, and for the depth beyond which the eye sees no deeper blue.
 * @param lightness L* of the print by density above paper, in the curve's channel
 * @param secondsAt time that gives clear film a log exposure [s]
 * @returns rising depth, the eye's row by its place; times null where the strip does not show the depth
 */
export function depthTable({
  curve,
  lightness,
  filmSigma,
  secondsAt,
}: {
  curve: Curve;
  lightness: LightnessByDensity;
  filmSigma: number;
  secondsAt: (logH: number) => number;
}): DepthRow[] {
  const deepest = lightness(curve.dMax);
  const row = (kind: DepthRow["kind"], share: number, logH: number | null): DepthRow => {
    const range =
      logH === null ? null : exposureRange({ curve, share: Math.min(0.99, Math.max(0.5, share)), filmSigma });
    const isTold = logH !== null && range !== null;
    const density = logH === null ? curve.dMin + share * (curve.dMax - curve.dMin) : densityAt(curve, logH);
    return {
      kind,
      share,
      seconds: isTold ? secondsAt(logH) : null,
      lowerSeconds: isTold ? secondsAt(logH - range.halfLogH) : null,
      upperSeconds: isTold ? secondsAt(logH + range.halfLogH) : null,
      lightnessMissing: Math.max(0, lightness(density) - deepest),
    };
  };
  const rows = shares.map((share) => row("share", share, logHAtShare(curve, share)));
  const merging = mergingDensity(curve, lightness, deepest + merges);
  if (merging === null) return rows;
  const share = (merging - curve.dMin) / (curve.dMax - curve.dMin);
  return [...rows, row("no-deeper-to-the-eye", share, logHAtDensity(curve, merging))].sort((a, b) => a.share - b.share);
}

/** Density at which the print is as light as this; null where the whole curve is darker. */
function mergingDensity(curve: Curve, lightness: LightnessByDensity, wanted: number): number | null {
  if (!(lightness(curve.dMin) > wanted)) return null;
  return bisection({
    low: curve.dMin,
    high: curve.dMax,
    isBelow: (density) => lightness(density) > wanted,
    halvings: 40,
  }).middle;
}
