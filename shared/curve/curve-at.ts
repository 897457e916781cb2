// Reading a fitted curve in both directions.
import type { Curve } from "#shared/schema/curve.ts";
import {
  monotoneCubic,
  monotoneCubicAt,
  monotoneCubicInverse,
  type MonotoneCubic,
} from "#shared/statistics/monotone-cubic.ts";

type Shape = Pick<Curve, "samples" | "dMin" | "dMax"> & Partial<Pick<Curve, "shareSigmas">>;

/**
 * Density of the fitted curve at a log exposure.
 * Never extrapolated: outside the measured exposures the curve stays at its end values.
 * @param logH log10 of relative exposure
 * @returns density above unexposed paper
 */
export function densityAt(curve: Shape, logH: number): number {
  return monotoneCubicAt(cubicOf(curve), logH);
}

/**
 * Log exposure at which the curve first reaches a density.
 * @returns null where the measured part of the curve does not cross it
 */
export function logHAtDensity(curve: Shape, density: number): number | null {
  const { samples } = curve;
  if (samples.length < 2) return null;
  if (!(samples[0]!.density < density && samples[samples.length - 1]!.density >= density)) return null;
  return monotoneCubicInverse(cubicOf(curve), density);
}

/**
 * Log exposure at a share of the net density, measured from dMin up to dMax.
 * @param share strictly between 0 and 1: 0.90 is the shoulder point
 * Where the curve says so itself (`shareSigmas`), camera and coating are allowed for, which the drawn samples do not.
 * @returns null where the measured part of the curve does not cross it
 * Source: Iso6846 (the shoulder at 90 % of net D-max).
 */
export function logHAtShare(curve: Shape, share: number): number | null {
  const known = (curve.shareSigmas ?? []).filter((entry) => typeof entry.logH === "number");
  const above = known.findIndex((entry) => entry.share >= share);
  if (above >= 0 && (above > 0 || known[0]!.share === share)) {
    const shares = known.map((entry) => entry.share);
    return monotoneCubicAt(
      monotoneCubic(
        shares,
        known.map((entry) => entry.logH!),
      ),
      share,
    );
  }
  return logHAtDensity(curve, curve.dMin + share * (curve.dMax - curve.dMin));
}

/** Share (0-1) of the net density that the curve has at a log exposure; outside the measured exposures, at its end. */
export function shareAt(curve: Shape, logH: number): number {
  return (densityAt(curve, logH) - curve.dMin) / (curve.dMax - curve.dMin);
}

function cubicOf({ samples }: Shape): MonotoneCubic {
  return monotoneCubic(
    samples.map((sample) => sample.logH),
    samples.map((sample) => sample.density),
  );
}
