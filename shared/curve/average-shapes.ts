// Several shapes fitted to the same steps and averaged by how well each is supported, so that the range of an answer
// includes not knowing the shape.
import {
  asymmetricSigmoid,
  fitShape,
  flexibleSigmoid,
  symmetricSigmoid,
  symmetricStarts,
  type FittedShape,
  type WeightedStep,
} from "./candidate-shapes.ts";
import type { RangeSource } from "#shared/schema/curve.ts";
import { coatingGrainDensity, usualGrainDensity, withGrain } from "./coating-grain.ts";
import { coatingSizes, withCoatingSize } from "./coating-sizes.ts";
import { deltaSigma, deltaSigmas } from "./delta-method.ts";
import { slopeHabits, type SlopeFrame } from "./flexible-sigmoid.ts";
import { noSystematicErrors, type CoatingSize, type SystematicErrors } from "./systematic-errors.ts";

/**
 * The ways in which a flexible shape may go on above its middle and below it. Density made by light either tends to
 * its limit as what
 * is left to do runs out, or comes to an abrupt end where the layer is full; which of the two, the steps decide.
 */
const manners: readonly Pick<SlopeFrame, "upward" | "downward">[] = [
  { upward: slopeHabits.settling, downward: slopeHabits.settling },
  { upward: slopeHabits.hastening, downward: slopeHabits.settling },
  { upward: slopeHabits.settling, downward: slopeHabits.hastening },
  { upward: slopeHabits.hastening, downward: slopeHabits.hastening },
];
/** The stated sigmas count like this many observations when the scatter about the curve is judged. */
const statedSigmaWeight = 8;
/**
 * A shape less likely than this share of the best one is left out of the average.
 * Source: MadiganRaftery1994 (Occam's window).
 */
const leastRelativeWeight = 0.05;
/** Fits of every shape, each with the scatter that the one before found. */
const rounds = 2;

interface WeightedShape extends FittedShape {
  /** Share of the average. */
  readonly weight: number;
}

export interface AveragedShape {
  /** Best supported first; weights sum to 1. */
  readonly shapes: readonly WeightedShape[];
  /** Of the scatter estimate, the stated sigmas included. */
  readonly degreesOfFreedom: number;
  /** Factor by which the steps scatter more (or less) than their sigmas say. */
  readonly scatterFactor: number;
  /** As given, with the coating's grain. */
  readonly steps: readonly WeightedStep[];
}

/**
 * All candidate shapes through the steps, averaged.
 * @param stated steps with their stated sigmas, rising logH
 * @param sigmaPaper when given, the bottom density is known beforehand to be zero with that uncertainty
 * @returns null where none can be fixed
 * Source: HoetingEtAl1999 (averaging over models).
 */
export function averageShapes(
  stated: readonly WeightedStep[],
  sigmaPaper: number | null,
  errors: SystematicErrors = noSystematicErrors,
): AveragedShape | null {
  const isCoatingWeighed = !errors.isCoatingTold && Math.max(errors.coatingGradient, errors.coatingBow) > 0;
  const sizes = (errors.coatingSizes ?? coatingSizes).filter(({ common }) => common > 0);
  const symmetric = fitShape({ model: symmetricSigmoid, steps: stated, starts: symmetricStarts(stated), sigmaPaper });
  if (!symmetric) return null;
  const base = symmetric.parameters;
  const frame = { middle: base[2]!, rate: 4 * Math.exp(base[3]!) };
  const candidates = [
    { model: symmetricSigmoid, starts: [base] },
    { model: asymmetricSigmoid, starts: [-0.8, 0.6].map((logExponent) => [...base, logExponent]) },
    ...manners
      .map((manner) => flexibleSigmoid({ ...frame, ...manner }))
      .map((model) => ({ model, starts: [[...base, ...new Array<number>(model.extra).fill(0)]] })),
  ];
  let scatter: Scatter = { grain: usualGrainDensity, factor: 1, degreesOfFreedom: 1 };
  let steps = stated;
  let shapes: WeightedShape[] = [];
  let fits: (FittedShape | null)[] = [];
  // The first rounds find the scatter, the last weighs what is known beforehand rightly against it.
  for (let round = 0; round < rounds; round++) {
    const { grain, factor } = scatter;
    steps = stated.map((step) => withGrain(step, grain, factor));
    fits = candidates.map(({ model, starts }, i) =>
      fitShape({ model, steps, starts: fits[i] ? [fits[i].parameters] : starts, sigmaPaper, errors }),
    );
    shapes = supported(fits.filter((fit) => fit !== null));
    if (shapes.length === 0) return null;
    scatter = scatterAbout(shapes, stated, steps);
  }
  if (isCoatingWeighed)
    shapes = supported(
      shapes.flatMap((shape) => sizes.map((size) => ofCoatingSize(shape, size, { steps, sigmaPaper, errors }))),
    );
  return { shapes, degreesOfFreedom: scatter.degreesOfFreedom, scatterFactor: scatter.factor, steps };
}

/**
 * A fitted shape as another size of the coating's unevenness has it: fitted anew from where the linear update puts it.
 * The update alone misleads where a loose coating lets the shape wander far.
 */
function ofCoatingSize(
  shape: FittedShape,
  size: CoatingSize,
  { errors, ...fit }: { steps: readonly WeightedStep[]; sigmaPaper: number | null; errors: SystematicErrors },
): FittedShape {
  const updated = withCoatingSize(shape, size);
  if (size.size === 1) return updated;
  const start = [...updated.parameters];
  for (const { parameter } of shape.coatingRows) start[parameter]! /= size.size;
  const { coatingGradient, coatingBow } = errors;
  const sized = { ...errors, coatingGradient: size.size * coatingGradient, coatingBow: size.size * coatingBow };
  const starts = size.size < 1 ? [start] : [start, shape.parameters];
  const anew = fitShape({ ...fit, model: shape.model, starts, errors: sized });
  return anew === null ? updated : { ...anew, logEvidence: anew.logEvidence + Math.log(size.common) };
}

/** How single steps scatter about the curve, beyond their stated sigmas. */
interface Scatter {
  /** Of the coating, the same in every step [density]. */
  readonly grain: number;
  /** What is left: factor on all sigmas, about 1. */
  readonly factor: number;
  readonly degreesOfFreedom: number;
}

function scatterAbout(
  shapes: readonly WeightedShape[],
  stated: readonly WeightedStep[],
  fitted: readonly WeightedStep[],
): Scatter {
  const effective = shapes.reduce((sum, fit) => sum + fit.weight * fit.effectiveParameters, 0);
  const free = Math.max(1, stated.length - effective);
  const residuals = shapes.map((fit) => fit.residuals(fit.parameters));
  const squares = fitted.map(({ sigma }, i) =>
    shapes.reduce((sum, fit, k) => sum + fit.weight * (residuals[k]![i]! * sigma) ** 2, 0),
  );
  const grain = coatingGrainDensity(stated, squares, stated.length / free);
  const chiSquared = stated.reduce((sum, { sigma }, i) => sum + squares[i]! / (sigma ** 2 + grain ** 2), 0);
  const degreesOfFreedom = free + statedSigmaWeight;
  return { grain, factor: Math.sqrt((chiSquared + statedSigmaWeight) / degreesOfFreedom), degreesOfFreedom };
}

function supported(fits: readonly FittedShape[]): WeightedShape[] {
  const best = Math.max(...fits.map((fit) => fit.logEvidence));
  const kept = fits
    .map((fit) => ({ fit, raw: Math.exp(fit.logEvidence - best) }))
    .filter(({ raw }) => raw >= leastRelativeWeight);
  const total = kept.reduce((sum, { raw }) => sum + raw, 0);
  return kept.map(({ fit, raw }) => ({ ...fit, weight: raw / total })).sort((a, b) => b.weight - a.weight);
}

/** A quantity averaged over the shapes, with its standard uncertainty: within the shapes and between them. */
export function averagedQuantity(
  { shapes }: AveragedShape,
  quantity: (shape: FittedShape, parameters: readonly number[]) => number,
): { value: number; sigma: number } {
  const each = shapes.map((shape) => ({
    weight: shape.weight,
    value: quantity(shape, shape.parameters),
    sigma: deltaSigma(shape.covariance, shape.parameters, (parameters) => quantity(shape, parameters)),
  }));
  const value = each.reduce((sum, one) => sum + one.weight * one.value, 0);
  const variance = each.reduce((sum, one) => sum + one.weight * (one.sigma ** 2 + (one.value - value) ** 2), 0);
  return { value, sigma: Math.sqrt(variance) };
}

/**
 * Density of the average at each log exposure, as read from the picture, with its standard uncertainty: within the
 * shapes and between them.
 */
export function averagedDensities(
  { shapes }: AveragedShape,
  logHs: readonly number[],
): { value: number; sigma: number }[] {
  const each = shapes.map((shape) => {
    const readAt = (parameters: readonly number[]) => {
      const shareOf = shape.model.shares?.(parameters) ?? ((logH: number) => shape.model.share(parameters, logH));
      return logHs.map((logH) =>
        shape.asRead(parameters, parameters[0]! + parameters[1]! * shareOf(shape.labelledLogH(parameters, logH))),
      );
    };
    return {
      weight: shape.weight,
      values: readAt(shape.parameters),
      sigmas: deltaSigmas(shape.covariance, shape.parameters, readAt),
    };
  });
  return logHs.map((_, i) => {
    const value = each.reduce((sum, one) => sum + one.weight * one.values[i]!, 0);
    const variance = each.reduce(
      (sum, one) => sum + one.weight * (one.sigmas[i]! ** 2 + (one.values[i]! - value) ** 2),
      0,
    );
    return { value, sigma: Math.sqrt(variance) };
  });
}

/** A log exposure with its standard uncertainty and what that is made of. */
export interface AveragedLogH {
  readonly value: number;
  readonly sigma: number;
  readonly variances: ReadonlyMap<RangeSource, number>;
}

/**
 * Log exposure at which the shapes reach a share of their net density, averaged, with its standard uncertainty.
 * The uncertainty comes from the implicit function: how far the share moves, over how steep it is there. Each
 * observation and each thing known beforehand moves the answer by its own influence; their squares are the budget, and
 * sum to the variance.
 * @param share of the shape's own net density, which may itself depend on the parameters; held within 0.0001 to 0.9999
 */
export function averagedLogH(
  { shapes, steps }: AveragedShape,
  share: (shape: FittedShape, parameters: readonly number[]) => number,
): AveragedLogH {
  const held = (shape: FittedShape, parameters: readonly number[]) =>
    Math.min(0.9999, Math.max(1e-4, share(shape, parameters)));
  const each = shapes.map((shape) => {
    const { parameters } = shape;
    const at = shape.model.logHAtShare(parameters, held(shape, parameters));
    const slope = (shape.model.share(parameters, at + 1e-4) - shape.model.share(parameters, at - 1e-4)) / 2e-4;
    const gradient = gradientOf(parameters, (moved) =>
      shape.trueLogH(moved, at + (held(shape, moved) - shape.model.share(moved, at)) / slope),
    );
    const value = shape.trueLogH(parameters, at);
    return { weight: shape.weight, value, squares: influenceSquares(shape, gradient) };
  });
  const value = each.reduce((sum, one) => sum + one.weight * one.value, 0);
  const variances = new Map<RangeSource, number>();
  const add = (source: RangeSource, variance: number) => variances.set(source, (variances.get(source) ?? 0) + variance);
  each.forEach((one, k) => {
    one.squares.forEach((square, row) => {
      const tabletShare = steps[row]?.tabletVarianceShare ?? 0;
      add(shapes[k]!.sources[row]!, one.weight * square * (1 - tabletShare));
      if (tabletShare > 0) add("tablet-steps", one.weight * square * tabletShare);
    });
    add("curve-shape", one.weight * (one.value - value) ** 2);
  });
  return { value, sigma: Math.sqrt([...variances.values()].reduce((sum, part) => sum + part, 0)), variances };
}

/** Squared influence of each residual on a quantity with the given gradient. */
function influenceSquares(shape: WeightedShape, gradient: readonly number[]): number[] {
  const direction = shape.covariance.map((row) => row.reduce((sum, value, j) => sum + value * gradient[j]!, 0));
  // One difference along the direction gives the whole product of Jacobian and direction.
  const size = Math.hypot(...direction);
  if (!(size > 0)) return shape.sources.map(() => 0);
  const step = 1e-5 / size;
  const above = shape.residuals(shape.parameters.map((value, j) => value + step * direction[j]!));
  const below = shape.residuals(shape.parameters.map((value, j) => value - step * direction[j]!));
  return above.map((value, row) => ((value - below[row]!) / (2 * step)) ** 2);
}

function gradientOf(parameters: readonly number[], quantity: (parameters: readonly number[]) => number): number[] {
  return parameters.map((value, j) => {
    const delta = 1e-5 * Math.max(1, Math.abs(value));
    const above = [...parameters];
    const below = [...parameters];
    above[j] = value + delta;
    below[j] = value - delta;
    return (quantity(above) - quantity(below)) / (2 * delta);
  });
}

/** Density of one shape at a log exposure, as printed. */
export function shapeDensity(shape: FittedShape, parameters: readonly number[], logH: number): number {
  return parameters[0]! + parameters[1]! * shape.model.share(parameters, logH);
}

/** The same as read from the picture: what the measured steps are compared with and the curve is drawn through. */
function readShapeDensity(shape: FittedShape, parameters: readonly number[], logH: number): number {
  return shape.asRead(parameters, shapeDensity(shape, parameters, logH));
}

/** Density of the average at a log exposure, as read from the picture. */
export function averagedDensity({ shapes }: AveragedShape, logH: number): number {
  return shapes.reduce((sum, shape) => sum + shape.weight * readShapeDensity(shape, shape.parameters, logH), 0);
}

/**
 * How far each step lies from the average, with what the fit found of tablet, coating and camera allowed for: what is
 * left is scatter, or a shape that fits none.
 * @returns density, in the order of the average's steps
 */
export function averagedResiduals({ shapes, steps }: AveragedShape): number[] {
  const each = shapes.map((shape) => ({ weight: shape.weight, rows: shape.residuals(shape.parameters) }));
  return steps.map(({ sigma }, i) => -sigma * each.reduce((sum, { weight, rows }) => sum + weight * rows[i]!, 0));
}
