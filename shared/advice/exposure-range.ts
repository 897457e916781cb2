// How sure a time is: its two 95 % ranges, and what makes them wide.
import type { Curve, ExposureAdvice, RangeSource } from "#shared/schema/curve.ts";
import { shareVariances, sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { degreesTogether, effectiveDegrees, studentT95 } from "#shared/statistics/student-t.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { nextPrintSigmaLogH } from "./print-to-print.ts";

/** How single steps scatter, judged from the steps, and how curves go on, which is supposed as well. */
const scatterSources: readonly RangeSource[] = ["steps", "tablet-steps"];
const shapeSources: readonly RangeSource[] = ["curve-shape"];
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
  curve: JudgedCurve;
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

type JudgedCurve = Pick<Curve, "shareSigmas" | "degreesOfFreedom" | "coatingSlope">;

/**
 * The parts of the range by how well each is known. How the steps scatter is judged from the steps as a whole. How
 * curves go on is supposed, and the shape that a strip seems to have also rules how its steps weigh: these go together.
 * A camera nobody checked is supposed; a coating seen beside the strip is judged from its two sides. Elsewhere an
 * uneven coating is what it is said to be, or even, usual and bad ones are weighed against each other, which allows for
 * its size already. Tablet and film are as they are said to be.
 */
function judgedVariances(parts: readonly SourceVariance[], { degreesOfFreedom, coatingSlope }: JudgedCurve) {
  const sumOf = (sources: readonly RangeSource[]) =>
    parts.reduce((sum, { source, variance }) => sum + (sources.includes(source) ? variance : 0), 0);
  const scatter = sumOf(scatterSources);
  const shape = sumOf(shapeSources);
  const isJudged = (source: RangeSource) =>
    source === "camera" || (source === "coating-gradient" && coatingSlope?.isBeside === true);
  return [
    {
      variance: scatter + shape,
      degreesOfFreedom: degreesTogether([
        { variance: scatter, degreesOfFreedom },
        { variance: shape, degreesOfFreedom: degreesOfSupposed },
      ]),
    },
    ...parts
      .filter(({ source }) => ![...scatterSources, ...shapeSources].includes(source))
      .map(({ source, variance }) => ({
        variance,
        degreesOfFreedom: isJudged(source) ? degreesOfSupposed : Infinity,
      })),
  ];
}
