// What a finished print looks like on a screen, from what was measured of it.
import { bisection } from "#shared/statistics/bisection.ts";
import { srgbFromLinear } from "#shared/density/srgb.ts";
import { luminanceWeights } from "#shared/limits.ts";

/** 8-bit sRGB. */
export type ScreenColour = readonly [red: number, green: number, blue: number];

/**
 * A blue layer passes blue light best: its blue density is taken as this share of its green density. A picture's
 * reading gives red and luminance only. common practice, no source
 */
const blueShareOfGreen = 0.5;
const [redWeight, greenWeight, blueWeight] = luminanceWeights;
/** Green densities that are tried. */
const densestGreen = 4;

const screenCode = (linear: number): number => Math.round(255 * srgbFromLinear(Math.min(1, Math.max(0, linear))));

/**
 * Screen colour of a tone, paper shown as white.
 * @param red red-channel density above paper
 * @param visual luminance density above paper
 */
export function printColour(red: number, visual: number): ScreenColour {
  const redLight = Math.min(1, 10 ** -red);
  const rest = Math.max(0, 10 ** -visual - redWeight * redLight);
  const light = (green: number) => greenWeight * 10 ** -green + blueWeight * 10 ** (-blueShareOfGreen * green);
  const { low: green } = bisection({ low: 0, high: densestGreen, isBelow: (at) => light(at) > rest, halvings: 40 });
  return [screenCode(redLight), screenCode(10 ** -green), screenCode(10 ** (-blueShareOfGreen * green))];
}

/**
 * Screen colours of the grey levels of a test.
 * @param visual smooth visual density of each level 0-255
 * @param measured red and visual density of each step read
 */
export function printColours(
  visual: readonly number[],
  measured: readonly { readonly red: number; readonly visual: number }[],
): ScreenColour[] {
  // Red as a parabola of visual density through the paper, by least squares.
  let [v2, v3, v4, rv, rv2] = [0, 0, 0, 0, 0];
  for (const step of measured) {
    v2 += step.visual ** 2;
    v3 += step.visual ** 3;
    v4 += step.visual ** 4;
    rv += step.red * step.visual;
    rv2 += step.red * step.visual ** 2;
  }
  const determinant = v2 * v4 - v3 * v3;
  const isBent = measured.length > 4 && determinant > 1e-9;
  const straightSlope = v2 > 0 ? rv / v2 : 1;
  const slope = isBent ? (rv * v4 - rv2 * v3) / determinant : straightSlope;
  const bend = isBent ? (rv2 * v2 - rv * v3) / determinant : 0;
  return visual.map((density) => printColour(Math.max(0, slope * density + bend * density ** 2), Math.max(0, density)));
}
