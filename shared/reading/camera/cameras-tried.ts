// Cameras that are tried on a strip: stray light, raised saturation and kind of channels, and how likely each is before
// the strip has spoken.
import { usualProportions, type UsualProportions } from "./pigment-proportions.ts";

/** What a camera does to the colours of a print, beside its tone curve. */
export interface Camera {
  readonly flare: number;
  readonly chroma: number;
  readonly proportions: UsualProportions;
}

/**
 * Stray light as a share of paper white, and the camera's multiplication of chroma, before the strip has spoken:
 * nine in ten pictures have the chroma that they should. Source: common practice, no source.
 */
const before = { flareMean: 0.008, flareSigma: 0.01, mostFlare: 0.05, chromaSigma: 0.35, mostChroma: 2 } as const;
const plainChromaShare = 0.9;
/** Points of the grid. */
const flareCount = 11;
const chromaCount = 11;
/** Every stray light and saturation under every kind of channels, the kinds equally likely. */
export function* camerasOfGrid(): Generator<Camera> {
  for (const proportions of Object.values(usualProportions))
    for (let i = 0; i < flareCount; i++)
      for (let j = 0; j < chromaCount; j++)
        yield {
          proportions,
          flare: (before.mostFlare * i) / (flareCount - 1),
          chroma: 1 + ((before.mostChroma - 1) * j) / (chromaCount - 1),
        };
}

/** Twice the negative logarithm of how likely a chroma of the grid is, beside any other. */
function chromaCost(chroma: number): number {
  if (chroma === 1) return -2 * Math.log(plainChromaShare);
  const gridStep = (before.mostChroma - 1) / (chromaCount - 1);
  const density = (2 / (before.chromaSigma * Math.sqrt(2 * Math.PI))) * gridStep;
  return ((chroma - 1) / before.chromaSigma) ** 2 - 2 * Math.log((1 - plainChromaShare) * density);
}

/** Twice the negative logarithm of how likely a camera is before the strip has spoken. */
export function costBefore({ flare, chroma }: Camera): number {
  return ((flare - before.flareMean) / before.flareSigma) ** 2 + chromaCost(chroma);
}
