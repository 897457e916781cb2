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

export interface LightTold {
  readonly readings: readonly MeasuredReading[];
  /** How far the light differed from one end of the strip to the other, beyond what paper told [stops]. */
  readonly stops: number;
}

/**
 * Readings of one print, some of them after half a turn, with the light told from the print and taken off.
 *
 * The part of the light that changes sign about the strip's middle is told, as far as the strip lay in about the same
 * place; what is the same at both ends (a lens that darkens the rim) is not.
 * @param readings two or more with the same steps
 * @returns null when none was turned, or nothing clear differs
 * Source: common practice, no source (least squares with priors; a measurement repeated with its sign turned round)
 */
export function lightToldByTurning(readings: readonly MeasuredReading[]): LightTold | null {
  const [first] = readings;
  if (first === undefined) return null;
  const ways = readings.map(({ location }) => (isTurned(first.location.corners, location.corners) ? -1 : 1));
  if (!ways.includes(-1)) return null;
  const count = first.steps.length;
  const placeOf = (index: number): number => (2 * (index + 0.5)) / count - 1;
  const design: number[][] = [];
  const response: number[] = [];
  const sigma: number[] = [];
  for (let i = 0; i < count; i++) {
    const [straight, turned] = [1, -1].map((way) =>
      meanStep(readings.filter((_, r) => ways[r] === way).map(({ steps }) => steps[i]!)),
    );
    if (straight === null || turned === null || straight === undefined || turned === undefined) continue;
    design.push([placeOf(i), placeOf(i) ** 3]);
    response.push((straight.red - turned.red) / 2);
    sigma.push(Math.hypot(straight.sigma, turned.sigma) / 2);
  }
  if (response.length < fewestSteps) return null;
  const fit = linearLeastSquares({
    design: [...design, [1, 0], [0, 1]],
    response: [...response, 0, 0],
    sigma: [...sigma, usual.slopeDensity, usual.bendDensity],
  });
  const [slope, bend] = fit.coefficients as [number, number];
  const [[ss, sb], [, bb]] = fit.unscaledCovariance as [[number, number], [number, number]];
  const atEnd = slope + bend;
  if (Math.abs(atEnd) < clearSigmas * Math.sqrt(ss + 2 * sb + bb)) return null;
  const lightAt = (i: number): number => slope * placeOf(i) + bend * placeOf(i) ** 3;
  return {
    readings: readings.map((reading, r) => ({
      ...reading,
      steps: reading.steps.map((step, i) => withoutLight(step, ways[r]! * lightAt(i))),
    })),
    stops: (2 * Math.abs(atEnd)) / Math.log10(2),
  };
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
