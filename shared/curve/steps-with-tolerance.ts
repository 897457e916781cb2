// The tablet's tolerance carried over to the density of each step, through the slope of a first curve.
import { shapeDensity } from "./average-shapes.ts";
import { asymmetricSigmoid, fitShape, symmetricStarts, type WeightedStep } from "./candidate-shapes.ts";
import type { CurveStep } from "./curve-step.ts";
import { stepScatter } from "./falling-shoulder.ts";

/** Sigma of each step with the tablet's tolerance carried through the slope of a first curve. */
export function stepsWithTolerance(steps: readonly CurveStep[]): WeightedStep[] {
  const slope = roughSlope(steps);
  return steps.map((step) => ({
    logH: step.logH,
    density: step.density,
    ...withTabletVariance(Math.max(step.sigma, 1e-3), slope(step.logH) * step.sigmaLogH),
    tabletDensity: step.tabletDensity ?? null,
    place: step.place ?? null,
  }));
}

/** Slope of a first curve, good enough to carry the tablet's tolerance over to density. */
function roughSlope(steps: readonly CurveStep[]): (logH: number) => number {
  const scatter = Math.max(stepScatter(steps), 0.005);
  const even = steps.map((step) => ({ logH: step.logH, density: step.density, sigma: scatter }));
  const fit = fitShape({
    model: asymmetricSigmoid,
    steps: even,
    starts: symmetricStarts(even).map((start) => [...start, 0]),
    sigmaPaper: 0.05,
  });
  if (fit === null) return () => 0;
  const delta = 1e-3;
  return (logH) =>
    (shapeDensity(fit, fit.parameters, logH + delta) - shapeDensity(fit, fit.parameters, logH - delta)) / (2 * delta);
}

function withTabletVariance(reading: number, tablet: number): Pick<WeightedStep, "sigma" | "tabletVarianceShare"> {
  const sigma = Math.hypot(reading, tablet);
  return { sigma, tabletVarianceShare: (tablet / sigma) ** 2 };
}
