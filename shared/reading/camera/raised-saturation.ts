// What one photo's strip tells of the camera's stray light and raised saturation, by the print's one pigment. A single
// picture tells too little to correct by, since its tone curve is unknown too; it tells how far red may be off.
import { undoneByOnePigment, type SeenDensity } from "./one-pigment.ts";
import { toneMoves } from "./unknown-tone.ts";
import type { ExposedStep, ExposedTone } from "./seen-tones.ts";

export interface SaturationTold {
  /** How many times the camera multiplies differences between channels, with its standard uncertainty. */
  readonly chroma: number;
  readonly chromaSigma: number;
  /** Standard uncertainty of each step's red density as read, by stray light and saturation together. */
  readonly sigma: readonly number[];
  /** Whether the colours are raised clearly enough to say so. */
  readonly isRaised: boolean;
}

/** Brighter than this, a channel may be cut off (0-1). common practice, no source */
const nearWhite = 0.95;
const isNearWhite = ({ light, paper }: ExposedTone): boolean => Math.max(light, paper) > nearWhite;
/** Colours raised by less than this are not worth telling; nor is what is not so many times as large as its sigma. */
const worthTelling = { chroma: 1.15, sigmas: 2 } as const;

/**
 * How far red densities may be off by stray light and raised saturation, as the strip itself tells it.
 * @param lights light of each step and of paper there, as decoded; null where it is covered or cut off
 * @returns null for grey pictures, and where too few steps are seen
 * Source: common practice, no source (see the one pigment of a print)
 */
export function saturationTold(lights: readonly (ExposedStep | null)[]): SaturationTold | null {
  const seen = lights.map((step) =>
    step?.green === undefined || step.blue === undefined || [step, step.green, step.blue].some(isNearWhite)
      ? null
      : { red: seenDensity(step), green: seenDensity(step.green), blue: seenDensity(step.blue) },
  );
  const undone = undoneByOnePigment(seen);
  if (undone === null) return null;
  const { chroma, chromaSigma } = undone;
  return {
    chroma,
    chromaSigma,
    sigma: seen.map((step, i) => {
      const red = undone.red[i] ?? null;
      return step === null || red === null ? 0 : Math.hypot(red - step.red.density, undone.sigma[i]!);
    }),
    isRaised: chroma > worthTelling.chroma && chroma - 1 > worthTelling.sigmas * chromaSigma,
  };
}

const seenDensity = (tone: ExposedTone): SeenDensity => ({
  density: Math.log10(tone.paper / tone.light),
  sigma: tone.sigma,
  moves: toneMoves(tone),
});
