// How light the print looks at a density of the channel that times are judged by.
import type { Channel } from "#shared/schema/curve.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";

/** L* (0-100, unexposed paper 100) by density above paper. */
export type LightnessByDensity = (density: number) => number;

/**
 * The print's own scale, from its steps: visual density follows the judged channel along one rising line, for a blue of
 * one hue.
 * @param steps of the reading, at least two of different density; straight on beyond the deepest
 * Source: cie-1976-lightness for L* of a density.
 */
export function lightnessByDensity(steps: readonly ReadingStep[], channel: Channel): LightnessByDensity {
  const ofVisual = (visual: number) => lightnessFromLuminance(10 ** -visual);
  if (channel === "visual") return ofVisual;
  const sorted = [...steps].sort((a, b) => a.red - b.red);
  const rising = isotonicRegression(
    sorted.map((step) => step.visual),
    sorted.map(() => 1),
  );
  const red: number[] = [];
  const visual: number[] = [];
  sorted.forEach((step, i) => {
    if (red.length > 0 && step.red - red.at(-1)! < 1e-6) return;
    red.push(step.red);
    visual.push(rising[i]!);
  });
  if (red.length < 2) return ofVisual;
  const curve = monotoneCubic(red, visual);
  const top = red.length - 1;
  // Over the upper half, so that the noise of two close steps does not set the slope.
  const from = red.findIndex((value) => value >= red[top]! / 2);
  const slope = from < top ? (visual[top]! - visual[from]!) / (red[top]! - red[from]!) : 0;
  return (density) =>
    ofVisual(
      density > red[top]!
        ? visual[top]! + slope * (density - red[top]!)
        : monotoneCubicAt(curve, Math.max(density, red[0]!)),
    );
}
