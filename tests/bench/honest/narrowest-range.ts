// The narrowest range that the truth allows: what a fit would reach that knew the family of the curve and the size of
// every error.
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { cameraCurves, coatingFactor, readDensity, type Condition } from "./conditions.ts";
import { coatingGrain, labels, share, statedSigma, type SimulatedPrint } from "./simulated-print.ts";
import { densityOf, ownLimits } from "./truth-curves.ts";

/** Standard normal quantile of a 95 % range. */
const normal95 = 1.959964;
/** Flare drawn evenly between 0 and 2 %. */
const flareSigma = 0.02 / Math.sqrt(12);

/**
 * Half width of the 95 % range of the log exposure at the wanted depth, from the linearised problem at the truth.
 * Parameters are the two levels, the shoulder, the exposure range, the family's own numbers (with the limits they were
 * drawn from as prior knowledge) and the errors of the condition.
 * @param admitted sizes of the errors that must be taken to be possible; those that were drawn when absent
 * @param strips so many strips of one sheet are read together
 * @returns log10
 */
export function narrowestHalfLogH(
  { condition: drawn, coating, strip, testSeconds, errors }: SimulatedPrint,
  admitted?: Pick<Condition, "gradient" | "bow">,
  strips = 1,
): number {
  const condition = { ...drawn, ...admitted };
  const limits = ownLimits(coating.family);
  const model = (values: readonly number[]) => {
    const [dMin, net, shoulder, range, scale, base, gradient, bow, flare, mix, ...own] = values;
    const density = densityOf({ ...coating, dMin: dMin!, net: net!, shoulder: shoulder!, range: range!, own });
    return labels(strip).map((label, i) => {
      const place = (2 * i) / (strip.steps - 1) - 1;
      const printed =
        density(Math.log10(testSeconds) - base! - (1 + scale!) * label) *
        coatingFactor(place, { gradient: gradient!, bow: bow! });
      const seen = (camera: number | null) => readDensity({ density: printed, camera, flare: flare! });
      // Between an exact camera and the one of the test, as far as it differs from the others.
      return condition.isPhoto ? seen(0) + mix! * cameraSpread(printed) : seen(null);
    });
  };
  const truth = [
    coating.dMin,
    coating.net,
    coating.shoulder,
    coating.range,
    errors.scale,
    errors.base,
    errors.gradient,
    errors.bow,
    errors.flare,
    0,
    ...coating.own,
  ];
  const priors = [
    null,
    null,
    null,
    0.25,
    condition.tabletScale,
    condition.tabletBase,
    condition.gradient,
    condition.bow,
    condition.isPhoto ? flareSigma : 0,
    condition.isPhoto ? 1 : 0,
    ...limits.map(([low, high]) => (high - low) / Math.sqrt(12)),
  ];
  const free = truth.map((_, j) => j).filter((j) => priors[j] !== 0);
  const at = model(truth);
  const slope = at.map((_, i) => slopeAt(coating, Math.log10(testSeconds) - labels(strip)[i]!));
  const columns = free.map((j) => {
    const delta = j === 8 ? 1e-4 : 1e-3;
    const moved = model(truth.map((value, k) => (k === j ? value + delta : value)));
    return moved.map((value, i) => (value - at[i]!) / delta);
  });
  const design = at.map((_, i) =>
    columns.map(
      (column) =>
        (column[i]! * Math.sqrt(strips)) / Math.hypot(statedSigma, coatingGrain, slope[i]! * condition.tabletStep),
    ),
  );
  free.forEach((j, k) => {
    const prior = priors[j];
    if (prior !== null) design.push(free.map((_, m) => (m === k ? 1 / prior! : 0)));
  });
  const { unscaledCovariance } = linearLeastSquares({ design, response: new Array<number>(design.length).fill(0) });
  // The wanted depth is the shoulder itself.
  const k = free.indexOf(2);
  if (share !== 0.9) throw new RangeError("the narrowest range is worked out for 90 % only");
  return normal95 * Math.sqrt(unscaledCovariance[k]![k]!);
}

/** Standard deviation of the six camera curves at a density. */
function cameraSpread(density: number): number {
  const seen = cameraCurves.map((_, camera) => readDensity({ density, camera, flare: 0 }));
  const mean = seen.reduce((sum, value) => sum + value, 0) / seen.length;
  return Math.sqrt(seen.reduce((sum, value) => sum + (value - mean) ** 2, 0) / seen.length);
}

function slopeAt(coating: SimulatedPrint["coating"], logH: number): number {
  const density = densityOf(coating);
  return (density(logH + 1e-3) - density(logH - 1e-3)) / 2e-3;
}
