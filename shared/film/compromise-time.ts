// The time for a negative that is printed as it is: too short for the coating, or too long for it.
import type { Compromise, Curve } from "#shared/schema/curve.ts";
import { densityAt } from "#shared/curve/curve-at.ts";
import { bisection } from "#shared/statistics/bisection.ts";

/**
 * The time at which an uncorrected negative loses equally much at both ends: its clearest parts come out as much
 * lighter than the deepest blue as its densest parts come out darker than paper white, in L*.
 * @param baseDensity UV density of the negative's clear film, and
 * @param maxDensity of its densest part, base included
 * @param lightness L* of the print by density above paper
 * @returns seconds and what is lost at each end [L*]; null where the curve does not span such a time
 * Source: common practice, no source (a negative's range is centred in the coating's).
 */
export function compromiseTime({
  curve,
  baseDensity,
  maxDensity,
  lightness,
}: {
  curve: Curve;
  baseDensity: number;
  maxDensity: number;
  lightness: (density: number) => number;
}): Compromise | null {
  const first = curve.samples[0];
  const last = curve.samples.at(-1);
  if (first === undefined || last === undefined || !(maxDensity > baseDensity)) return null;
  const range = maxDensity - baseDensity;
  const darkLost = (clearLogH: number) => lightness(densityAt(curve, clearLogH)) - lightness(curve.dMax);
  const lightLost = (clearLogH: number) => lightness(curve.dMin) - lightness(densityAt(curve, clearLogH - range));
  const low = first.logH;
  const high = last.logH + range;
  const difference = (logH: number) => darkLost(logH) - lightLost(logH);
  if (difference(low) < 0 || difference(high) > 0) return null;
  const clearLogH = bisection({ low, high, isBelow: (logH) => difference(logH) > 0, halvings: 40 }).middle;
  // Beyond the measured exposures the curve stays flat, and an answer there would be a guess.
  if (clearLogH > last.logH) return null;
  return {
    seconds: 10 ** (clearLogH + baseDensity),
    darkLightnessLost: Math.max(0, darkLost(clearLogH)),
    lightLightnessLost: Math.max(0, lightLost(clearLogH)),
  };
}
