// A step tablet measured by its prints, in the light that prints with it: the same tablet at t and 2 t, whose distance
// is known to be 0.301, or beside a strip of bare coating uncovered for known times.
import { levenbergMarquardt } from "#shared/statistics/levenberg-marquardt.ts";
import { sigmoidDensity } from "#shared/curve/sigmoid.ts";

export interface TabletPrints {
  /** Densities of the label, clearest first. */
  readonly labels: readonly number[];
  /** What the steps printed, in tablet order; null where a step could not be read. */
  readonly exposures: readonly { readonly seconds: number; readonly densities: readonly (number | null)[] }[];
  /** Bare coating uncovered for known times. */
  readonly timed: readonly { readonly seconds: number; readonly density: number }[];
  /** Standard uncertainty of one density as read, grain of the coating included. */
  readonly sigmaDensity: number;
}

export interface TabletInLight {
  /** What the label's densities are multiplied by in this light, with its standard uncertainty. */
  readonly scale: number;
  readonly scaleSigma: number;
  /** What is added to all of them; null where no timed strip tells it. */
  readonly base: number | null;
  readonly baseSigma: number | null;
  /** Standard deviation of the prints about the curve. */
  readonly residualDensity: number;
}

/**
 * One print differs from the next in coating by about this share of its density.
 * Source: common practice, no source.
 */
const coatingSigma = 0.012;
/** The stated sigma counts like so many observations when the scatter is judged. */
const statedWeight = 4;

/**
 * Scale and base of a tablet in the light of its prints: one curve of the coating is fitted to all prints together, the
 * tablet's two numbers with it. A curve shifted by a known log exposure fixes the scale; bare patches of known time fix
 * the base.
 * @returns null where the prints do not fix them: too little of the rise is shown, or the search does not end
 * Valid: coatings whose curve a Richards sigmoid describes; light and bare patches by the same lamp, reciprocity taken
 * for granted.
 * Source: H = E t 10^-D; common practice, no source.
 */
export function tabletFromPrints({ labels, exposures, timed, sigmaDensity }: TabletPrints): TabletInLight | null {
  const knowsBase = timed.length > 0;
  const read = exposures.flatMap(({ seconds, densities }, print) =>
    densities.flatMap((density, i) =>
      density === null || labels[i] === undefined
        ? []
        : [{ print, logSeconds: Math.log10(seconds), label: labels[i], density }],
    ),
  );
  const top = Math.max(...read.map(({ density }) => density), ...timed.map(({ density }) => density));
  const half = read.reduce((a, b) => (Math.abs(b.density - top / 2) < Math.abs(a.density - top / 2) ? b : a), read[0]!);
  const first = 7;
  const residuals = (p: readonly number[]): number[] => {
    const [scale, base] = [p[5]!, knowsBase ? p[6]! : 0];
    const coatingOf = (print: number) => 1 + coatingSigma * p[first + print]!;
    return [
      ...read.map(
        ({ print, logSeconds, label, density }) =>
          (coatingOf(print) * sigmoidDensity(p, logSeconds - base - scale * label) - density) / sigmaDensity,
      ),
      ...timed.map(
        ({ seconds, density }) =>
          (coatingOf(exposures.length) * sigmoidDensity(p, Math.log10(seconds)) - density) / sigmaDensity,
      ),
      ...Array.from({ length: exposures.length + 1 }, (_, print) => p[first + print]!),
      // Loose: only to hold what nothing fixes.
      p[4]! / 3,
      knowsBase ? 0 : p[6]! * 1e3,
    ];
  };
  const starts = [1, 2].map((slope) => [
    0,
    top,
    half.logSeconds - half.label,
    Math.log(slope),
    0,
    1,
    0,
    ...new Array<number>(exposures.length + 1).fill(0),
  ]);
  const fits = starts.map((start) => levenbergMarquardt({ residuals, start, stepTolerance: 1e-11, parameterFloor: 1 }));
  const best = fits.reduce((a, b) => (b.residualSumSquares < a.residualSumSquares ? b : a));
  const covariance = best.unscaledCovariance;
  if (covariance === null || !(best.parameters[5]! > 0)) return null;
  const count = read.length + timed.length;
  const chiSquared = residuals(best.parameters)
    .slice(0, count)
    .reduce((sum, value) => sum + value * value, 0);
  const factor = Math.sqrt((chiSquared + statedWeight) / (Math.max(1, count - (knowsBase ? 7 : 6)) + statedWeight));
  return {
    scale: best.parameters[5]!,
    scaleSigma: factor * Math.sqrt(covariance[5]![5]!),
    base: knowsBase ? best.parameters[6]! : null,
    baseSigma: knowsBase ? factor * Math.sqrt(covariance[6]![6]!) : null,
    residualDensity: Math.sqrt(chiSquared / count) * sigmaDensity,
  };
}
