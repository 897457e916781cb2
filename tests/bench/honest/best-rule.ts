// The best rule: what Bayes' theorem says of the wanted time to whoever knows all that the program is told, and beyond
// it the families of curves and how everything is drawn, but not which family and which errors were. No range can be
// narrower and hold as often over all that is drawn; in one condition alone it may hold more or less than 95 of 100.
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { choleskyFactor, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { normalShareBelow } from "#shared/statistics/normal-distribution.ts";
import { rangeOf, type LogRange, type Part } from "#shared/studio-model/mixture.ts";
import { cameraCurves, coatingFactor, readDensity, type CoatingPrior } from "./conditions.ts";
import { coatingGrain, labels, sidewaysShare, statedSigma, type SimulatedPrint } from "./simulated-print.ts";
import { densityOf, ownLimits, rangeLimits, type FamilyName } from "./truth-curves.ts";

/** What is known beforehand of the errors of one print. */
export interface Beforehand {
  readonly families: readonly FamilyName[];
  readonly coatings: readonly CoatingPrior[];
  readonly isBesideSeen: boolean;
}

/**
 * A family less likely than the best by this [natural logarithm] adds nothing that could be seen, whatever the coating;
 * or, by the second, whatever the camera.
 */
const mostDrop = 7;
const hopelessDrop = 20;
const mostIterations = 20;
/** Rounds of a fit; each takes the slope that turns the tablet's errors into density from the one before. */
const rounds = 2;

interface Case {
  readonly family: FamilyName;
  readonly camera: number | null;
  readonly gradient: Known;
  readonly bow: Known;
  readonly logPrior: number;
}

interface Known {
  readonly mean: number;
  readonly sigma: number;
}

interface Fit {
  readonly parameters: readonly number[];
  readonly shoulder: Part;
  readonly logEvidence: number;
}

/** Range of the log exposure at the wanted depth, by the posterior: equal tails of 2.5 % each. */
export function bestRange(print: SimulatedPrint, { families, coatings, isBesideSeen }: Beforehand): LogRange {
  const seen = isBesideSeen ? changeBeside(print) : null;
  const cameras = print.condition.isPhoto ? cameraCurves.map((_, camera) => camera) : [null];
  const first = coatings.reduce((a, b) => (b.common > a.common ? b : a));
  const parts: { part: Part; logWeight: number }[] = [];
  let most = -Infinity;
  const add = ({ shoulder, logEvidence }: Fit) => {
    parts.push({ part: shoulder, logWeight: logEvidence });
    most = Math.max(most, logEvidence);
  };
  const fits = families.flatMap((family) => {
    let start: readonly number[] | null = null;
    return cameras.flatMap((camera, k) => {
      // A family far behind with one camera is not tried with the next.
      if (k > 0 && start === null) return [];
      const fit = fitted(print, caseOf({ family, camera, coating: first, seen }), start);
      if (fit === null) return [];
      start = fit.logEvidence > most - hopelessDrop ? fit.parameters : null;
      add(fit);
      return [{ family, camera, fit }];
    });
  });
  const likely = fits.filter(({ fit }) => fit.logEvidence > most - mostDrop);
  for (const { family, camera, fit } of likely)
    for (const coating of coatings.filter((one) => one !== first)) {
      const other = fitted(print, caseOf({ family, camera, coating, seen }), fit.parameters);
      if (other !== null) add(other);
    }
  return rangeOf(parts.map(({ part, logWeight }) => ({ ...part, weight: Math.exp(logWeight - most) })));
}

function caseOf({
  family,
  camera,
  coating,
  seen,
}: Pick<Case, "family" | "camera"> & { coating: CoatingPrior; seen: { gradient: Known; bow: Known } | null }): Case {
  const gradient = updated({ mean: 0, sigma: coating.gradient }, seen?.gradient ?? null);
  const bow = updated({ mean: 0, sigma: coating.bow }, seen?.bow ?? null);
  const logPrior = Math.log(coating.common) + gradient.logEvidence + bow.logEvidence;
  return { family, camera, gradient: gradient.known, bow: bow.known, logPrior };
}

function updated({ mean, sigma }: Known, seen: Known | null): { known: Known; logEvidence: number } {
  if (seen === null) return { known: { mean, sigma }, logEvidence: 0 };
  const variance = sigma ** 2 + seen.sigma ** 2;
  const share = sigma ** 2 / variance;
  return {
    known: { mean: mean + share * (seen.mean - mean), sigma: Math.sqrt(share) * seen.sigma },
    logEvidence: -(Math.log(variance) + (seen.mean - mean) ** 2 / variance) / 2,
  };
}

/** Slope and bow of the coating under the strip, as that on both sides of it tells them. */
function changeBeside({ beside }: SimulatedPrint): { gradient: Known; bow: Known } {
  const sides = (["above", "below"] as const).map((side) => {
    const patches = beside.filter((patch) => patch.side === side);
    const line = linearLeastSquares({
      design: patches.map(({ place }) => [1, place, place * place - 1 / 3]),
      response: patches.map(({ red }) => red),
      sigma: patches.map(() => Math.hypot(statedSigma, coatingGrain)),
    });
    const level = line.coefficients[0]!;
    return [1, 2].map((k) => ({
      mean: line.coefficients[k]! / level,
      sigma: Math.hypot(Math.sqrt(line.unscaledCovariance[k]![k]!) / level, sidewaysShare),
    }));
  });
  const mean = (k: number): Known => ({
    mean: (sides[0]![k]!.mean + sides[1]![k]!.mean) / 2,
    sigma: Math.hypot(sides[0]![k]!.sigma, sides[1]![k]!.sigma) / 2,
  });
  return { gradient: mean(0), bow: mean(1) };
}

const between = ([low, high]: readonly [number, number], z: number) => low + (high - low) * normalShareBelow(z);

/**
 * Laplace's approximation about the likeliest curve of a family. All that is drawn evenly within limits is a function
 * of a normal number, so that the limits are in it.
 */
function fitted(print: SimulatedPrint, given: Case, from: readonly number[] | null): Fit | null {
  const { strip, testSeconds, densities, condition, coating } = print;
  const limits = ownLimits(given.family);
  const tablet = labels(strip);
  const logHs = tablet.map((label) => Math.log10(testSeconds) - label);
  const named = ["scale", "base", "gradient", "bow", "flare"] as const;
  const sizes = {
    scale: condition.tabletScale,
    base: condition.tabletBase,
    gradient: given.gradient.sigma,
    bow: given.bow.sigma,
    flare: condition.isPhoto ? 1 : 0,
  };
  const used = named.filter((name) => sizes[name] > 0);
  const fixed = 4;
  const read = (parameters: readonly number[]) => {
    const z = (name: (typeof named)[number]) => {
      const k = used.indexOf(name);
      return k < 0 ? 0 : parameters[fixed + k]!;
    };
    const [dMin, net, shoulder, rangeZ] = parameters;
    const own = limits.map((limit, k) => between(limit, parameters[fixed + used.length + k]!));
    const density = densityOf({
      family: given.family,
      own,
      dMin: dMin!,
      net: net!,
      shoulder: shoulder!,
      range: between(rangeLimits, rangeZ!),
    });
    const flare = condition.isPhoto ? between([0, 0.02], z("flare")) : 0;
    const [scale, base] = [sizes.scale * z("scale"), sizes.base * z("base")];
    const uneven = {
      gradient: given.gradient.mean + sizes.gradient * z("gradient"),
      bow: given.bow.mean + sizes.bow * z("bow"),
    };
    return (shift: number) =>
      logHs.map((logH, i) => {
        const place = (2 * i) / (strip.steps - 1) - 1;
        const real = logH - base - scale * tablet[i]! + shift;
        return readDensity({ density: density(real) * coatingFactor(place, uneven), camera: given.camera, flare });
      });
  };
  let parameters = from ?? [
    coating.dMin,
    coating.net,
    coating.shoulder,
    0,
    ...used.map(() => 0),
    ...limits.map(() => 0),
  ];
  let result: Fit | null = null;
  for (let round = from === null ? 0 : 1; round < rounds; round++) {
    const at = read(parameters);
    const [below, above] = [at(-0.01), at(0.01)];
    const sigmas = below.map((low, i) =>
      Math.hypot(statedSigma, coatingGrain, ((above[i]! - low) / 0.02) * condition.tabletStep),
    );
    const fit = levenbergMarquardt({
      residuals: (tried) => {
        const model = read(tried)(0);
        return [...model.map((value, i) => (value - densities[i]!) / sigmas[i]!), ...tried.slice(3)];
      },
      start: parameters,
      maxIterations: mostIterations,
      stepTolerance: 1e-3,
      parameterFloor: 1,
    });
    if (fit.unscaledCovariance === null || !Number.isFinite(fit.residualSumSquares)) return result;
    parameters = fit.parameters;
    const n = parameters.length;
    const factor = choleskyFactor(Float64Array.from(fit.unscaledCovariance.flat()), n, { leastPivot: 1e-300 });
    result = {
      parameters,
      shoulder: { mean: parameters[2]!, variance: fit.unscaledCovariance[2]![2]!, weight: 1 },
      logEvidence:
        given.logPrior -
        fit.residualSumSquares / 2 -
        sigmas.reduce((sum, sigma) => sum + Math.log(sigma), 0) +
        logDeterminantOf(factor, n) / 2,
    };
  }
  return result;
}
