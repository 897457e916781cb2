// An invented film, lamp and coating that print grey levels, for tests that need tones of a known scale.
import type { Tone } from "#shared/schema/correction.ts";

/** Seeded noise source, uniform 0-1 (mulberry32). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Standard normal deviate. */
export function normalFrom(random: () => number): number {
  return Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());
}

/** L* of a density above paper whose own reflectance is 0.85 (CIE 1976 formula). */
export function printedLightness(density: number): number {
  const reflectance = 0.85 * 10 ** -density;
  return reflectance > 216 / 24_389 ? 116 * Math.cbrt(reflectance) - 16 : (24_389 / 27) * reflectance;
}

export interface PrintModel {
  /** Net maximum density of the blue, steepness and position of its curve, film base and range, device gamma. */
  readonly dMax: number;
  readonly steepness: number;
  readonly middle: number;
  readonly base: number;
  readonly filmRange: number;
  readonly gamma: number;
  /** log10 of the exposure. */
  readonly logExposure: number;
}

export const usualPrint: PrintModel = {
  dMax: 1.3,
  steepness: 3,
  middle: 1,
  base: 0.06,
  filmRange: 1.8,
  gamma: 1.1,
  logExposure: 1.55,
};

/** Density above paper that a grey level prints, level as a positive (0 = clear film = darkest blue). */
export function printedDensity(model: PrintModel, level: number): number {
  const filmDensity = model.base + model.filmRange * (level / 255) ** model.gamma;
  return model.dMax / (1 + 10 ** (-model.steepness * (model.logExposure - filmDensity - model.middle)));
}

/** Evenly spaced tones of a print, with noise of the stated size when a seed is given. */
export function printedTones(
  model: PrintModel,
  { count, sigma = 0.004, seed }: { count: number; sigma?: number; seed?: number },
): Tone[] {
  const random = seed === undefined ? null : seededRandom(seed);
  return Array.from({ length: count }, (_, index) => {
    const level = (255 * index) / (count - 1);
    const density = printedDensity(model, level) + (random === null ? 0 : sigma * normalFrom(random));
    return { level, lightness: printedLightness(density), density, sigma };
  });
}
