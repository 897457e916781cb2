// Reading a fitted curve in both directions.
import type { Curve } from "#shared/schema/curve.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { sigmoidDensity, sigmoidLogH } from "./sigmoid.ts";

type Shape = Pick<Curve, "family" | "parameters" | "samples" | "dMin" | "dMax" | "reversalFromLogH">;

/**
 * Density of the fitted curve at a log exposure.
 * Beyond a falling shoulder the curve stays at its maximum; a smooth curve stays at its end values outside the steps.
 * @param logH log10 of relative exposure
 * @returns density above unexposed paper
 */
export function densityAt(curve: Shape, logH: number): number {
  if (curve.family === "monotone-smooth") return monotoneCubicAt(cubicOf(curve), logH);
  return Math.min(sigmoidDensity(curve.parameters, logH), curve.dMax);
}

/**
 * Log exposure at which the curve first reaches a density.
 * @returns null for a density at or outside the curve's two levels
 */
export function logHAtDensity(curve: Shape, density: number): number | null {
  if (!(density > curve.dMin && density < curve.dMax)) return null;
  if (curve.family !== "monotone-smooth") {
    const net = curve.parameters[1]!;
    const share = (density - curve.parameters[0]!) / net;
    return share > 0 && share < 1 ? sigmoidLogH(curve.parameters, share) : null;
  }
  const { samples } = curve;
  if (samples.length < 2) return null;
  let low = samples[0]!.logH;
  let high = samples[samples.length - 1]!.logH;
  const cubic = cubicOf(curve);
  if (monotoneCubicAt(cubic, low) >= density || monotoneCubicAt(cubic, high) < density) return null;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (monotoneCubicAt(cubic, middle) < density) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Log exposure at a share of the net density, measured from dMin up to dMax.
 * @param share strictly between 0 and 1: 0.90 is the shoulder point
 * @returns null where the curve does not reach it; it may lie beyond the steps, so compare with the measured range
 * Source: Iso6846 (the shoulder at 90 % of net D-max).
 */
export function logHAtShare(curve: Shape, share: number): number | null {
  return logHAtDensity(curve, curve.dMin + share * (curve.dMax - curve.dMin));
}

function cubicOf(curve: Shape) {
  return monotoneCubic(
    curve.samples.map((sample) => sample.logH),
    curve.samples.map((sample) => sample.density),
  );
}
