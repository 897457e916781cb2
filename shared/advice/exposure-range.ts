// How sure a time is: its two 95 % ranges, and what makes them wide.
import type { Curve, ExposureAdvice, RangeSource } from "#shared/schema/curve.ts";
import { shareVariances, sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { nextPrintSigmaLogH } from "./print-to-print.ts";

export interface ExposureRange {
  /** Half of the 95 % range of this calibration, log10. */
  readonly halfLogH: number;
  /** Half of the 95 % range of the next print, log10. */
  readonly nextPrintHalfLogH: number;
  readonly budget: NonNullable<ExposureAdvice["budget"]>;
}

/**
 * The ranges of the time at a share of the net density.
 * @param filmSigma standard uncertainty of the film density that the time is for
 * @returns null where the uncertainty is not known. Each part of the budget is the half width, in stops, that the range
 *   would have from that source alone: their squares sum to that of the next print's range, and without
 *   "print-to-print" to that of the calibration's. Largest first; parts below a thousandth of a stop are left out.
 * Source: the squares of independent uncertainties add up (from memory, the usual law of propagation).
 */
export function exposureRange({
  curve,
  share,
  filmSigma,
}: {
  curve: Pick<Curve, "shareSigmas" | "degreesOfFreedom">;
  share: number;
  filmSigma: number;
}): ExposureRange | null {
  const sigma = sigmaLogHAtShare(curve, share);
  if (sigma === null) return null;
  const factor = studentT95(curve.degreesOfFreedom);
  const parts: { source: RangeSource; variance: number }[] = [
    ...shareVariances(curve, share),
    { source: "film-base", variance: filmSigma ** 2 },
    { source: "print-to-print", variance: nextPrintSigmaLogH ** 2 },
  ];
  const budget = parts
    .map(({ source, variance }) => ({ source, stops: stopsFromLogH(factor * Math.sqrt(variance)) }))
    .filter(({ stops }) => stops >= 0.001)
    .sort((a, b) => b.stops - a.stops);
  const calibration = Math.hypot(sigma, filmSigma);
  return {
    halfLogH: factor * calibration,
    nextPrintHalfLogH: factor * Math.hypot(calibration, nextPrintSigmaLogH),
    budget,
  };
}
