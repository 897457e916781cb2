// Steps that no curve through the others explains: a hair, a spot, a sticker.
import { huberWeight, robustSigma } from "#shared/statistics/robust.ts";
import {
  asymmetricSigmoid,
  fitShape,
  symmetricSigmoid,
  symmetricStarts,
  type WeightedStep,
} from "./candidate-shapes.ts";
import { shapeDensity } from "./average-shapes.ts";

/** Robust standard deviations beyond which a step is wild, and the least density that is worth leaving out. */
const wildSigmas = 5;
const wildDensity = 0.03;
const fewestStepsForAsymmetry = 8;
const rounds = 3;
/** A neighbour that misses on the same side by so many robust standard deviations makes it a wrong shape, not dirt. */
const sameSideSigmas = 2;
/** A wild step keeps this little weight while the others are judged. */
const leastWeight = 0.02;
/** How well density zero of unexposed paper is known here; loose, only to hold the shape. */
const sigmaPaper = 0.05;

/**
 * Positions of the wild steps, worst first; at most one in eight, and at least one may be.
 * @param steps rising logH
 * Source: Huber1964 for the weights; the limit of five robust standard deviations is common practice, no source.
 */
export function wildSteps(steps: readonly WeightedStep[]): number[] {
  const model = steps.length < fewestStepsForAsymmetry ? symmetricSigmoid : asymmetricSigmoid;
  const extra = new Array<number>(model.extra).fill(0);
  let starts: readonly (readonly number[])[] = symmetricStarts(steps).map((start) => [...start, ...extra]);
  let weighted = steps;
  let residuals: number[] = [];
  let spread = 1;
  for (let round = 0; round < rounds; round++) {
    const shape = fitShape({ model, steps: weighted, starts, sigmaPaper });
    if (shape === null) return [];
    const { parameters } = shape;
    residuals = steps.map((step) => (step.density - shapeDensity(shape, parameters, step.logH)) / step.sigma);
    spread = Math.max(robustSigma(residuals, 0), 0.5);
    weighted = steps.map((step, i) => ({
      ...step,
      sigma: step.sigma / Math.sqrt(Math.max(huberWeight(residuals[i]! / spread) ** 2, leastWeight)),
    }));
    starts = [parameters];
  }
  return residuals
    .map((residual, position) => ({
      position,
      sigmas: Math.abs(residual) / spread,
      density: Math.abs(residual) * steps[position]!.sigma,
    }))
    .filter(({ sigmas, density }) => sigmas > wildSigmas && density > wildDensity)
    .filter(({ position }) => !hasCompany(residuals, position, spread))
    .sort((a, b) => b.sigmas - a.sigmas)
    .slice(0, Math.max(1, Math.floor(steps.length / 8)))
    .map(({ position }) => position);
}

/** Whether a neighbour misses on the same side: two beside each other speak of another curve, not of a spot. */
function hasCompany(residuals: readonly number[], position: number, spread: number): boolean {
  const side = Math.sign(residuals[position]!);
  return [position - 1, position + 1].some((beside) => side * (residuals[beside] ?? 0) > sameSideSigmas * spread);
}
