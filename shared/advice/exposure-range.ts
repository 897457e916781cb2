// How sure a time is: its two 95 % ranges, and what makes them wide.
import type { Curve, ExposureAdvice, RangeSource } from "#shared/schema/curve.ts";
import { shareVariances, sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { effectiveDegrees, studentT95 } from "#shared/statistics/student-t.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { nextPrintSigmaLogH } from "./print-to-print.ts";

/** Whose size is supposed from what is usual: an uneven coating, a camera nobody checked, and how curves go on. */
const supposedSources: readonly RangeSource[] = ["coating-gradient", "camera", "curve-shape"];
/**
 * A standard uncertainty that is itself known to about a third counts as if judged from so many differences: half the
 * square of three.
 * Source: the Guide to the Expression of Uncertainty in Measurement, JCGM 100:2008, G.4.2, from memory.
 */
const degreesOfSupposed = 4.5;

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
 * Source: the squares of independent uncertainties add up (from memory, the usual law of propagation);
 *   Satterthwaite1946 for the degrees of freedom of their sum.
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
  const ofCurve = shareVariances(curve, share);
  const judged = judgedVariances(ofCurve.length === 0 ? [{ source: "steps", variance: sigma ** 2 }] : ofCurve, curve);
  const factor = studentT95(effectiveDegrees([...judged, { variance: filmSigma ** 2, degreesOfFreedom: Infinity }]));
  const parts: { source: RangeSource; variance: number }[] = [
    ...ofCurve,
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

type SourceVariance = ReturnType<typeof shareVariances>[number];

/** The parts of the range by how well each is known: how the steps scatter is judged from the steps as a whole. */
function judgedVariances(parts: readonly SourceVariance[], { degreesOfFreedom }: Pick<Curve, "degreesOfFreedom">) {
  const isScatter = ({ source }: SourceVariance) => source === "steps" || source === "tablet-steps";
  const scatter = parts.filter(isScatter).reduce((sum, { variance }) => sum + variance, 0);
  return [
    { variance: scatter, degreesOfFreedom },
    ...parts
      .filter((part) => !isScatter(part))
      .map(({ source, variance }) => ({
        variance,
        degreesOfFreedom: supposedSources.includes(source) ? degreesOfSupposed : Infinity,
      })),
  ];
}
