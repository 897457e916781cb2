// From measured steps to the characteristic curve: what is left out, which shape, how sure.
import type { Channel, Curve, CurveSample } from "#shared/schema/curve.ts";
import { huberWeight, robustSigma } from "#shared/statistics/robust.ts";
import { studentT95 } from "#shared/statistics/student-t.ts";
import { deltaSigma } from "./delta-method.ts";
import { curvePoints, shoulderShare, toeDensity } from "./curve-points.ts";
import type { CurveStep, LeftOut } from "./curve-step.ts";
import { lastRisingStep } from "./falling-shoulder.ts";
import { fitSigmoid, startAsymmetric, startSymmetric, type PaperPrior, type SigmoidFit, type WeightedStep } from "./fit-sigmoid.ts";
import { sigmoidDensity, sigmoidGradient, sigmoidLogH, type SigmoidParameters } from "./sigmoid.ts";

/** Fewer usable steps than this cannot show a curve and its scatter. */
export const fewestUsableSteps = 5;
/** Fewer steps than this cannot tell an asymmetric shape from noise. */
const fewestStepsForAsymmetry = 8;
/** Robust standard deviations beyond which one step is called wild, and the least density that is worth leaving out. */
const wildSigmas = 5;
const wildDensity = 0.03;
/** The stated sigmas count like this many observations when the scatter about the curve is judged. */
const statedSigmaWeight = 4;
/** How well density zero of unexposed paper is known when the steps themselves do not show it. */
const paperPrior: PaperPrior = { sigmaDensity: 0.02 };
const sampleCount = 121;

/**
 * The characteristic curve through the steps of one test.
 * @param channel which density the steps carry
 * @param steps any order
 * @returns null when fewer than five steps are usable or they all lie at one exposure
 * Source: shapes as in sigmoid.ts, choice by HurvichTsai1989, points Iso6846.
 */
export function fitCharacteristicCurve({ channel, steps }: { channel: Channel; steps: readonly CurveStep[] }): Curve | null {
  const sorted = [...steps].sort((a, b) => a.logH - b.logH || a.index - b.index);
  const leftOut = new Map<number, LeftOut>();
  for (const step of sorted) if (step.isFlagged) leftOut.set(step.index, "flagged");
  const usable = () => sorted.filter((step) => !leftOut.has(step.index));

  const beforeFall = usable();
  const peak = lastRisingStep(beforeFall);
  if (peak !== null) for (const step of beforeFall.slice(peak + 1)) leftOut.set(step.index, "reversal");
  if (!isEnough(usable())) return null;
  for (const index of wildSteps(usable())) leftOut.set(index, "wild");
  const kept = usable();
  if (!isEnough(kept)) return null;

  const { fit, weighted } = bestSigmoid(kept);
  const lowest = kept[0]!.logH;
  const highest = kept[kept.length - 1]!.logH;
  const parameters = fit.parameters;
  const dMin = parameters[0]!;
  // Where the shoulder falls, the curve's maximum is what the rising steps reach, not where the sigmoid would have gone.
  const dMax = peak === null ? dMin + parameters[1]! : Math.min(dMin + parameters[1]!, sigmoidDensity(parameters, highest));
  const degreesOfFreedom = Math.max(1, kept.length - parameters.length);
  const scale = (statedSigmaWeight + fit.chiSquared) / (statedSigmaWeight + degreesOfFreedom);
  const covariance = (fit.covariance ?? []).map((row) => row.map((value) => value * scale));
  const effectiveFreedom = degreesOfFreedom + statedSigmaWeight;
  const factor = studentT95(effectiveFreedom);
  const samples = Array.from({ length: sampleCount }, (_, i): CurveSample => {
    const logH = lowest + ((highest - lowest) * i) / (sampleCount - 1);
    const density = Math.min(sigmoidDensity(parameters, logH), dMax);
    const spread = factor * deltaSigma(covariance, parameters, (p) => sigmoidDensity(p, logH));
    return { logH, density, lower: density - spread, upper: density + spread };
  });
  const shape = { family: fit.family, parameters, samples, dMin, dMax, reversalFromLogH: peak === null ? null : highest } as const;
  const named = curvePoints(shape, { lowest, highest });
  const toeOf = (p: SigmoidParameters) => sigmoidLogH(p, Math.min(0.999, toeDensity / Math.max(p[1]!, 0.041)));
  return {
    channel,
    ...shape,
    ...named,
    steps: sorted.map((step) => ({ index: step.index, logH: step.logH, density: step.density, sigma: step.sigma, leftOut: leftOut.get(step.index) ?? null })),
    sigmaLogH: {
      toe: named.points.toe && fit.covariance ? deltaSigma(covariance, parameters, toeOf) : null,
      shoulder: named.points.shoulder && fit.covariance ? deltaSigma(covariance, parameters, (p) => sigmoidLogH(p, shoulderShare)) : null,
    },
    covariance,
    residualDensity: Math.sqrt(weighted.reduce((sum, step) => sum + (step.density - sigmoidDensity(parameters, step.logH)) ** 2, 0) / degreesOfFreedom),
    degreesOfFreedom: effectiveFreedom,
  };
}

function isEnough(steps: readonly CurveStep[]): boolean {
  return new Set(steps.map((step) => step.logH)).size >= fewestUsableSteps;
}

/** Sigma of a step with the tablet's tolerance carried through the slope of the curve. */
function withTolerance(steps: readonly CurveStep[], parameters: SigmoidParameters | null): WeightedStep[] {
  return steps.map((step) => {
    const slope = parameters ? sigmoidGradient(parameters, step.logH) : 0;
    return { logH: step.logH, density: step.density, sigma: Math.hypot(Math.max(step.sigma, 1e-4), slope * step.sigmaLogH) };
  });
}

/** Symmetric first, asymmetric where the criterion asks for it; the paper's zero helps only where the steps do not show the toe. */
function bestSigmoid(kept: readonly CurveStep[]): { fit: SigmoidFit; weighted: WeightedStep[] } {
  const first = fitBoth(withTolerance(kept, null), null);
  const weighted = withTolerance(kept, first.parameters);
  const free = fitBoth(weighted, null);
  return { fit: isToeShown(free, weighted) ? free : fitBoth(weighted, paperPrior), weighted };
}

function fitBoth(weighted: readonly WeightedStep[], paper: PaperPrior | null): SigmoidFit {
  const symmetric = fitSigmoid({ family: "symmetric-sigmoid", steps: weighted, starts: startSymmetric(weighted), paper });
  if (weighted.length < fewestStepsForAsymmetry) return symmetric;
  const asymmetric = fitSigmoid({ family: "asymmetric-sigmoid", steps: weighted, starts: startAsymmetric(symmetric.parameters), paper });
  return asymmetric.covariance && asymmetric.aicc < symmetric.aicc ? asymmetric : symmetric;
}

/** Whether the steps themselves fix the bottom level. */
function isToeShown(fit: SigmoidFit, weighted: readonly WeightedStep[]): boolean {
  if (!fit.covariance) return false;
  const scale = Math.max(1, fit.chiSquared / Math.max(1, weighted.length - fit.parameters.length));
  const rise = sigmoidDensity(fit.parameters, weighted[0]!.logH) - fit.parameters[0]!;
  return rise < toeDensity && Math.sqrt(fit.covariance[0]![0]! * scale) < paperPrior.sigmaDensity;
}

/** Steps that no curve through the others explains, by their index; at most one in eight. */
function wildSteps(usable: readonly CurveStep[]): number[] {
  let weighted = withTolerance(usable, null);
  let fit = fitBoth(weighted, paperPrior);
  for (let round = 0; round < 4; round++) {
    const base = withTolerance(usable, fit.parameters);
    const residuals = base.map((step) => (step.density - sigmoidDensity(fit.parameters, step.logH)) / step.sigma);
    const spread = Math.max(robustSigma(residuals, 0), 0.3);
    weighted = base.map((step, i) => ({ ...step, sigma: step.sigma / Math.sqrt(Math.max(huberWeight(residuals[i]! / spread), 0.02)) }));
    fit = fitBoth(weighted, paperPrior);
  }
  const base = withTolerance(usable, fit.parameters);
  const residuals = base.map((step) => step.density - sigmoidDensity(fit.parameters, step.logH));
  const spread = Math.max(robustSigma(residuals.map((value, i) => value / base[i]!.sigma), 0), 0.5);
  return usable
    .map((step, i) => ({ index: step.index, size: Math.abs(residuals[i]!), sigmas: Math.abs(residuals[i]!) / (base[i]!.sigma * spread) }))
    .filter(({ size, sigmas }) => size > wildDensity && sigmas > wildSigmas)
    .sort((a, b) => b.sigmas - a.sigmas)
    .slice(0, Math.max(1, Math.floor(usable.length / 8)))
    .map(({ index }) => index);
}
