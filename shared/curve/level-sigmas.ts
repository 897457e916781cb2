import type { Curve } from "#shared/schema/curve.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";

/**
 * Standard uncertainties of the curve's two levels, from the width of its 95 % band at either end of the steps.
 * @returns density; 0 where the curve has no samples
 */
export function levelSigmas(curve: Pick<Curve, "samples" | "degreesOfFreedom">): { dMin: number; dMax: number } {
  const first = curve.samples[0];
  const last = curve.samples.at(-1);
  if (first === undefined || last === undefined) return { dMin: 0, dMax: 0 };
  const factor = 2 * studentT95(curve.degreesOfFreedom);
  return { dMin: (first.upper - first.lower) / factor, dMax: (last.upper - last.lower) / factor };
}
