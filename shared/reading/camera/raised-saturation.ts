// What one photo's strip tells of the camera's stray light and raised saturation, by the print's one pigment. A single
// picture tells too little to correct by, since its tone curve is unknown too; it tells how far red may be off.
import { undoneByOnePigment } from "./one-pigment.ts";
import type { ExposedStep } from "./bracket.ts";

export interface SaturationTold {
  /** How many times the camera multiplies differences between channels, with its standard uncertainty. */
  readonly chroma: number;
  readonly chromaSigma: number;
  /** Standard uncertainty of each step's red density as read, by stray light and saturation together. */
  readonly sigma: readonly number[];
  /** Whether the colours are raised clearly enough to say so. */
  readonly isRaised: boolean;
}

/** An unknown tone curve bends green and blue density against red by so much of them. common practice, no source */
const toneShare = 0.015;
/** Colours raised by less than this are not worth telling; nor is what is not so many times as large as its sigma. */
const worthTelling = { chroma: 1.15, sigmas: 2 } as const;

/**
 * How far red densities may be off by stray light and raised saturation, as the strip itself tells it.
 * @param lights light of each step and of paper there, as decoded; null where it is covered or cut off
 * @returns null for grey pictures, and where too few steps are seen
 * Source: common practice, no source (see the one pigment of a print)
 */
export function saturationTold(lights: readonly (ExposedStep | null)[]): SaturationTold | null {
  const density = ({ light, paper }: { readonly light: number; readonly paper: number }) => Math.log10(paper / light);
  const seen = lights.map((step) => {
    if (step?.green === undefined || step.blue === undefined) return null;
    const [red, green, blue] = [density(step), density(step.green), density(step.blue)];
    return {
      red,
      green,
      blue,
      sigmaRed: step.sigma,
      sigmaGreen: Math.hypot(step.green.sigma, toneShare * Math.max(green, 0)),
      sigmaBlue: Math.hypot(step.blue.sigma, toneShare * Math.max(blue, 0)),
    };
  });
  const undone = undoneByOnePigment(seen);
  if (undone === null) return null;
  const { chroma, chromaSigma } = undone;
  return {
    chroma,
    chromaSigma,
    sigma: seen.map((step, i) => {
      const red = undone.red[i] ?? null;
      return step === null || red === null ? 0 : Math.hypot(red - step.red, undone.sigma[i]!);
    }),
    isRaised: chroma > worthTelling.chroma && chroma - 1 > worthTelling.sigmas * chromaSigma,
  };
}
