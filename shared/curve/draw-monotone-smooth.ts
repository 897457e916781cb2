// The smooth fall-back as a curve, where no shape describes the steps.
import type { CurveSample, RangeSource } from "#shared/schema/curve.ts";
import { monotoneCubicAt, type MonotoneCubic } from "#shared/statistics/monotone-cubic.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import type { WeightedStep } from "./candidate-shapes.ts";
import { toeDensity } from "./curve-points.ts";
import { bandAbout, keptShares, sampledLogH, type Drawn } from "./drawn-curve.ts";
import { monotoneSmooth, risingCurve, smoothLogH } from "./monotone-smooth.ts";
import { clearedOfErrors, errorModel, noSystematicErrors, type SystematicErrors } from "./systematic-errors.ts";

/**
 * The smooth fall-back; its levels are those of its ends, for it knows no others. What may bend the whole strip is not
 * fitted but tried: the strip is cleared of each error in turn, one standard deviation to either side.
 */
export function drawMonotoneSmooth(
  steps: readonly WeightedStep[],
  errors: SystematicErrors = noSystematicErrors,
): Drawn {
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
  const model = errorModel(errors);
  const clearedOf = (sizeOf: (k: number) => number) =>
    risingCurve(
      clearedOfErrors(
        steps,
        model,
        model.sources.map((_, k) => sizeOf(k)),
      ),
    );
  const centre = clearedOf(() => 0);
  const moved = model.sources.map((source, k) => ({
    source,
    above: clearedOf((j) => (j === k ? 1 : 0)),
    below: clearedOf((j) => (j === k ? -1 : 0)),
  }));
  const knownAt = (density: (of: MonotoneCubic) => number) => {
    const at = (of: MonotoneCubic) => smoothLogH(of, density(of));
    const variances = new Map<RangeSource, number>([["steps", spread(repeats.map(at), at(curve)) ** 2]]);
    for (const { source, above, below } of moved)
      variances.set(source, (variances.get(source) ?? 0) + ((at(above) - at(below)) / 2) ** 2);
    return {
      logH: at(centre),
      sigmaLogH: Math.sqrt([...variances.values()].reduce((sum, variance) => sum + variance, 0)),
      variances: [...variances].map(([source, variance]) => ({ source, variance })),
    };
  };
  const { low, net } = levels(curve);
  return {
    samples,
    dMin: low,
    dMax: low + net,
    sigmaToeLogH: knownAt((of) => levels(of).low + toeDensity).sigmaLogH,
    shareSigmas: keptShares.map((share) => ({
      share,
      ...knownAt((of) => levels(of).low + share * levels(of).net),
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
