// The same print photographed again after half a turn: its steps went round with it, the light stayed where it was.
// What differs between the pictures and changes sign from one end of the strip to the other is light.
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Corners, ReadingStep } from "#shared/schema/reading.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

/** Strips that point away from each other by more than this were turned half round: cosine of 150 degrees. */
const turnedBelow = Math.cos((150 * Math.PI) / 180);
/** Fewer steps in both pictures say too little of the light. common practice, no source */
const fewestSteps = 5;
/**
 * Light that paper did not show: half its difference between the ends, and its bend (density).
 * Source: common practice, no source.
 */
const usual = { slopeDensity: 0.03, bendDensity: 0.01 };
/** The light is taken off where it is so many times as large as its uncertainty; smaller, it is noise. */
const clearSigmas = 3;

/**
 * What else may differ between pictures of one print, in density: light that is the same at both ends and lay otherwise
 * on the strip, and contrast and bend of a camera whose tone curve is not known, or is.
 * Source: common practice, no source.
 */
const usualBeside = {
  evenDensity: 0.005,
  unknownTone: { contrast: 0.03, bend: 0.02 },
  knownTone: { contrast: 0.002, bend: 0.001 },
};
/**
 * Pictures whose steps differ beside all that by more than this, root mean square in their uncertainties, show two
 * prints; no step counts as surer than the least. Source: common practice, no source (rendered pairs, scans, photos and
 * cotton: one print in other light and at half the exposure stays below 1.2, another that was exposed a stop longer is
 * above 1.6; a third of a stop is seen in scans, and hidden in photos by what their camera's tone may do).
 */
const mostUnlike = { sigmas: 1.6, leastSigma: 0.002 };

export interface LightTold {
  readonly readings: readonly MeasuredReading[];
  /** How far the light differed from one end of the strip to the other, beyond what paper told [stops]. */
  readonly stops: number;
}

/** A step in the pictures that lie one way and the other. */
interface Pair {
  /** -1 at the strip's first end, 1 at its last. */
  readonly place: number;
  readonly red: number;
  /** Half of what the pictures differ by, and its uncertainty. */
  readonly half: number;
  readonly sigma: number;
}

/** Pictures of a print, sorted by the way in which they lie. */
interface Ways {
  /** 1 for pictures that lie as the first, -1 for those turned half round. */
  readonly ways: readonly (1 | -1)[];
  readonly pairs: readonly Pair[];
}

/**
 * Readings of one print, some of them after half a turn, with the light told from the print and taken off.
 *
 * The part of the light that changes sign about the strip's middle is told, as far as the strip lay in about the same
 * place; what is the same at both ends (a lens that darkens the rim) is not.
 * @param readings two or more with the same steps
 * @returns null when none was turned, or nothing clear differs; "other-print" when they differ as one print in two
 *   lights and by one camera does not
 * Source: common practice, no source (least squares with priors; a measurement repeated with its sign turned round)
 */
export function lightToldByTurning(readings: readonly MeasuredReading[]): LightTold | "other-print" | null {
  const sorted = waysOf(readings);
  if (sorted === null) return null;
  const { ways, pairs } = sorted;
  if (unlikeSigmas(pairs, readings) > mostUnlike.sigmas) return "other-print";
  const { coefficients, unscaledCovariance } = fittedTo(pairs, [usual.slopeDensity, usual.bendDensity], ({ place }) => [
    place,
    place ** 3,
  ]);
  const [slope, bend] = coefficients as [number, number];
  const [[ss, sb], [, bb]] = unscaledCovariance as [[number, number], [number, number]];
  const atEnd = slope + bend;
  if (Math.abs(atEnd) < clearSigmas * Math.sqrt(ss + 2 * sb + bb)) return null;
  const lightAt = (i: number, count: number): number => slope * placeOf(i, count) + bend * placeOf(i, count) ** 3;
  return {
    readings: readings.map((reading, r) => ({
      ...reading,
      steps: reading.steps.map((step, i) => withoutLight(step, ways[r]! * lightAt(i, reading.steps.length))),
    })),
    stops: (2 * Math.abs(atEnd)) / Math.log10(2),
  };
}

const placeOf = (index: number, count: number): number => (2 * (index + 0.5)) / count - 1;

/** @returns null when no picture lies the other way, or too few steps are seen both ways */
function waysOf(readings: readonly MeasuredReading[]): Ways | null {
  const [first] = readings;
  if (first === undefined) return null;
  const ways = readings.map(({ location }) => (isTurned(first.location.corners, location.corners) ? -1 : 1));
  if (!ways.includes(-1)) return null;
  const pairs = first.steps.flatMap((_, i): Pair[] => {
    const [straight, turned] = [1, -1].map((way) =>
      meanStep(readings.filter((__, r) => ways[r] === way).map(({ steps }) => steps[i]!)),
    );
    if (straight == null || turned == null) return [];
    return [
      {
        place: placeOf(i, first.steps.length),
        red: (straight.red + turned.red) / 2,
        half: (straight.red - turned.red) / 2,
        sigma: Math.hypot(straight.sigma, turned.sigma) / 2,
      },
    ];
  });
  return pairs.length < fewestSteps ? null : { ways, pairs };
}

/** Least squares of the differences, each term held to nothing by what is usual of it [density]. */
const fittedTo = (pairs: readonly Pair[], usualOf: readonly number[], termsOf: (pair: Pair) => readonly number[]) =>
  linearLeastSquares({
    design: [...pairs.map(termsOf), ...usualOf.map((_, k) => usualOf.map((__, j) => (j === k ? 1 : 0)))],
    response: [...pairs.map(({ half }) => half), ...usualOf.map(() => 0)],
    sigma: [...pairs.map(({ sigma }) => sigma), ...usualOf],
  });

/** How much the pictures differ beside light and camera, root mean square in their uncertainties. */
function unlikeSigmas(pairs: readonly Pair[], readings: readonly MeasuredReading[]): number {
  const isToneUnknown = readings.some(({ camera }) => camera?.toneKnown === false);
  const { contrast, bend } = isToneUnknown ? usualBeside.unknownTone : usualBeside.knownTone;
  const termsOf = ({ place, red }: Pair): readonly number[] => [place, place ** 3, place ** 2, red, red ** 2];
  const { coefficients } = fittedTo(
    pairs,
    [usual.slopeDensity, usual.bendDensity, usualBeside.evenDensity, contrast, bend],
    termsOf,
  );
  const squares = pairs.map((pair) => {
    const left = pair.half - termsOf(pair).reduce((sum, term, k) => sum + term * coefficients[k]!, 0);
    return (left / Math.max(mostUnlike.leastSigma, pair.sigma)) ** 2;
  });
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** Whether a strip points the other way than another one. */
function isTurned(first: Corners, other: Corners): boolean {
  const along = ([a, b, c, d]: Corners): readonly [number, number] => [
    (b[0] + c[0] - a[0] - d[0]) / 2,
    (b[1] + c[1] - a[1] - d[1]) / 2,
  ];
  const [[ax, ay], [bx, by]] = [along(first), along(other)];
  return ax * bx + ay * by < turnedBelow * Math.hypot(ax, ay) * Math.hypot(bx, by);
}

/** Mean red density of a step and its uncertainty by what differs between pictures; null when none shows it whole. */
function meanStep(steps: readonly ReadingStep[]): { readonly red: number; readonly sigma: number } | null {
  const seen = steps.filter(({ flags }) => flags.length === 0);
  if (seen.length === 0) return null;
  const mean = (of: (step: ReadingStep) => number): number =>
    seen.reduce((sum, step) => sum + of(step), 0) / seen.length;
  return { red: mean((step) => step.red), sigma: Math.sqrt(mean((step) => step.sigma ** 2) / seen.length) };
}

/** A step with a density of light, the same in all channels, taken off. */
function withoutLight(step: ReadingStep, density: number): ReadingStep {
  const visual = step.visual - density;
  const lightnessOf = (value: number): number => lightnessFromLuminance(reflectanceFromDensity(value));
  return {
    ...step,
    red: step.red - density,
    visual,
    lightness: Math.min(100, step.lightness + lightnessOf(visual) - lightnessOf(step.visual)),
  };
}
