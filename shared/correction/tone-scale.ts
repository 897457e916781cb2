// The measured tone scale: how light each grey level prints, as a smooth curve that never falls.
import { lastIndexBelow } from "#shared/statistics/bisection.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import type { Tone } from "#shared/schema/correction.ts";
import { topLevel } from "./grey-level.ts";
import { risingSpline, type UncertainPoint } from "./rising-spline.ts";

/** Positions for each grey level at which a tone scale is kept. */
const positionsPerLevel = 16;

/** How much more the first spline counts than the level in the path of the second. Our judgement. */
const toneWeight = 2;

/** What a tone scale is measured in: L*, or visual density counted downwards so that it rises with the level too. */
export type ToneQuantity = "lightness" | "density";

export interface ToneScale {
  readonly quantity: ToneQuantity;
  readonly lowestLevel: number;
  readonly highestLevel: number;
  /** Value at the lowest and highest measured level: L*, or minus density. */
  readonly darkest: number;
  readonly lightest: number;
  /** L*, or minus density, of a level; the nearest end beyond the measured levels. */
  readonly valueAt: (level: number) => number;
  /**
   * Level that prints a value; the measured end beyond the range. Where several levels print alike: the end of the tone
   * scale, or the level next to the tones that differ.
   */
  readonly levelFor: (value: number) => number;
}

/**
 * Change of L* for one unit of density, as a positive number: L* falls with (L* + 16) ln(10)/3 above L* = 8, with L*
 * ln(10) below.
 * Source: cie-1976-lightness, derivative of the 1976 lightness formula.
 */
export function lightnessPerDensity(lightness: number): number {
  return lightness > 8 ? ((lightness + 16) * Math.LN10) / 3 : Math.max(lightness, 0) * Math.LN10;
}

/**
 * Smooth rising tone scale through measured tones.
 * @param tones at least 3 different levels, rising, one tone a level
 */
export function fitToneScale(tones: readonly Tone[], quantity: ToneQuantity): ToneScale {
  const points = tones.map((tone) =>
    quantity === "lightness"
      ? { x: tone.level, y: tone.lightness, sigma: Math.max(tone.sigma * lightnessPerDensity(tone.lightness), 0.02) }
      : { x: tone.level, y: -tone.density, sigma: tone.sigma },
  );
  const growth = Math.sqrt(Math.max(1, disorder(points)));
  const curve = spreadSpline(points.map((point) => ({ ...point, sigma: point.sigma * growth })));
  const lowestLevel = points[0]!.x;
  const highestLevel = points.at(-1)!.x;
  const count = Math.round((highestLevel - lowestLevel) * positionsPerLevel) + 1;
  const step = (highestLevel - lowestLevel) / (count - 1);
  const values = new Float64Array(count);
  for (let index = 0; index < count; index++)
    values[index] = Math.max(curve(lowestLevel + index * step), index === 0 ? -Infinity : values[index - 1]!);
  const darkest = values[0]!;
  const lightest = values[count - 1]!;
  return {
    quantity,
    lowestLevel,
    highestLevel,
    darkest,
    lightest,
    valueAt: (level) => {
      const position = Math.min(count - 1, Math.max(0, (level - lowestLevel) / step));
      const index = Math.min(count - 2, Math.floor(position));
      return values[index]! + (position - index) * (values[index + 1]! - values[index]!);
    },
    levelFor: (value) => {
      if (value <= darkest) return lowestLevel;
      if (value >= lightest) return highestLevel;
      const low = lastIndexBelow(values, value);
      return lowestLevel + step * (low + (value - values[low]!) / (values[low + 1]! - values[low]!));
    },
  };
}

/**
 * Rising spline that is as supple where the scale is steep as where it is flat. On a film denser than its coating
 * needs all tones lie within few levels, and one suppleness over the levels is too stiff for them and too loose for
 * the rest: a first spline tells how steep the scale is, and a second runs along a mean of level and first spline.
 */
function spreadSpline(points: readonly UncertainPoint[]): (level: number) => number {
  const pilot = risingSpline(points);
  const [first, last] = [points[0]!.x, points.at(-1)!.x];
  const [low, high] = [pilot(first), pilot(last)];
  if (!(high > low)) return pilot;
  const along = (level: number): number =>
    (level - first) / (last - first) + (toneWeight * (pilot(level) - low)) / (high - low);
  const curve = risingSpline(points.map((point) => ({ ...point, x: along(point.x) })));
  return (level) => curve(along(level));
}

/**
 * How much more the tones scatter than their uncertainties promise, judged by falls alone, so that a steep or bent
 * scale does not count as scatter: chi-squared of the best rising sequence for each degree of freedom that it pooled.
 */
function disorder(points: readonly { readonly y: number; readonly sigma: number }[]): number {
  const rising = isotonicRegression(
    points.map(({ y }) => y),
    points.map(({ sigma }) => 1 / sigma ** 2),
  );
  const pooled = points.length - new Set(rising).size;
  return pooled < 3
    ? 1
    : points.reduce((sum, { y, sigma }, index) => sum + ((y - rising[index]!) / sigma) ** 2, 0) / pooled;
}

/** Tone scale values for each whole level 0-255. */
export function scaleLevels(scale: ToneScale): number[] {
  return Array.from({ length: topLevel + 1 }, (_, level) => scale.valueAt(level));
}
