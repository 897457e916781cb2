// The smooth fall-back as a curve, where no shape describes the steps.
import type { CurveSample } from "#shared/schema/curve.ts";
import { monotoneCubicAt, type MonotoneCubic } from "#shared/statistics/monotone-cubic.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import type { WeightedStep } from "./candidate-shapes.ts";
import { toeDensity } from "./curve-points.ts";
import { bandAbout, keptShares, sampledLogH, type Drawn } from "./drawn-curve.ts";
import { monotoneSmooth, smoothLogH } from "./monotone-smooth.ts";

/** The smooth fall-back; its levels are those of its ends, for it knows no others. */
export function drawMonotoneSmooth(steps: readonly WeightedStep[]): Drawn {
  const { curve, repeats, residuals } = monotoneSmooth(steps);
  const degreesOfFreedom = Math.max(1, steps.length / 2);
  const factor = studentT95(degreesOfFreedom);
  const spread = (values: readonly number[], about: number) =>
    Math.sqrt(values.reduce((sum, value) => sum + (value - about) ** 2, 0) / values.length);
  const samples = sampledLogH(steps).map((logH): CurveSample => {
    const density = monotoneCubicAt(curve, logH);
    const half =
      factor *
      spread(
        repeats.map((repeat) => monotoneCubicAt(repeat, logH)),
        density,
      );
    return bandAbout(logH, density, half);
  });
  const levels = (of: MonotoneCubic) => ({ low: of.y[0]!, net: of.y[of.y.length - 1]! - of.y[0]! });
  const sigmaAt = (density: (of: MonotoneCubic) => number) =>
    spread(
      repeats.map((repeat) => smoothLogH(repeat, density(repeat))),
      smoothLogH(curve, density(curve)),
    );
  const { low, net } = levels(curve);
  return {
    samples,
    dMin: low,
    dMax: low + net,
    sigmaToeLogH: sigmaAt((of) => levels(of).low + toeDensity),
    shareSigmas: keptShares.map((share) => ({
      share,
      sigmaLogH: sigmaAt((of) => levels(of).low + share * levels(of).net),
    })),
    named: {
      family: "monotone-smooth",
      parameters: [],
      covariance: [],
      residualDensity: Math.sqrt(residuals.reduce((sum, value) => sum + value * value, 0) / degreesOfFreedom),
      degreesOfFreedom,
    },
  };
}
