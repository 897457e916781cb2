// A test's curve as files to take away: a table of steps and curve.
import type { Curve } from "#shared/schema/curve.ts";
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { csvText } from "#src/output/csv.ts";

/**
 * Steps first, then the fitted curve, each with its 95 % range; densities above paper, log H of seconds in clear light.
 */
export function curveTable(curve: Curve): string {
  return csvText(
    ["kind", "step", "log H", "density", "lower", "upper", "left out"],
    [
      ...curve.steps.map((step) => [
        "step",
        step.index,
        step.logH,
        step.density,
        step.density - rangeSigmas * step.sigma,
        step.density + rangeSigmas * step.sigma,
        step.leftOut ?? "",
      ]),
      ...curve.samples.map((sample) => ["curve", "", sample.logH, sample.density, sample.lower, sample.upper, ""]),
    ],
  );
}
