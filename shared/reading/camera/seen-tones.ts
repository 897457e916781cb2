// The tones of a print, its steps and its paper, as several pictures show them.

/** One picture of the print. */
export interface ExposedPicture {
  /** Logarithm (base 10) of the light that went in, beside any other picture of the same camera. */
  readonly logExposure: number;
  /**
   * Red light (0-1) of each step as decoded, and of paper at its place; null where the picture says nothing about a
   * step.
   */
  readonly steps: readonly (ExposedStep | null)[];
}

/** Light of a step as decoded and of paper at its place, with the step's relative noise (log 10). */
export interface ExposedTone {
  readonly light: number;
  readonly paper: number;
  readonly sigma: number;
}

/** ... in red, and in the other channels of a picture in colour, by the same curve. */
export interface ExposedStep extends ExposedTone {
  readonly green?: ExposedTone;
  readonly blue?: ExposedTone;
}

/**
 * Light on the print drifts a little from picture to picture, place by place (log 10).
 * Source: common practice, no source.
 */
export const driftSigma = 0.002;
/** Paper's light at a step by its field over the strip (log 10). Source: common practice, no source. */
const paperSigma = 0.001;
/** Codes nearer than this to either end of the scale say nothing about the curve. common practice, no source */
const usable = { least: 0.0008, most: 0.9 };

/** A tone in one picture, and its relative noise there (log 10). */
export interface Sighting {
  readonly picture: number;
  readonly seen: number;
  readonly sigma: number;
}

export type Channel = "red" | "green" | "blue";

export const isUsable = (seen: number): boolean => seen > usable.least && seen < usable.most;

export const toneOf = (step: ExposedStep | null | undefined, channel: Channel): ExposedTone | null =>
  (channel === "red" ? step : step?.[channel]) ?? null;

/** Each tone, a step's or its paper's in one channel, with the pictures that show it. */
export function tonesSeen(pictures: readonly ExposedPicture[]): Sighting[][] {
  const tones: Sighting[][] = [];
  // Paper is one surface: what is wrong with its light in one picture is wrong at all steps, so they count as one.
  const papers = Math.sqrt(pictures[0]!.steps.length);
  for (let step = 0; step < pictures[0]!.steps.length; step++) {
    for (const channel of ["red", "green", "blue"] as const) {
      for (const which of ["light", "paper"] as const) {
        tones.push(
          pictures.flatMap(({ steps }, picture) => {
            const seen = toneOf(steps[step], channel);
            if (seen === null || !isUsable(seen[which])) return [];
            const sigma = Math.hypot(which === "light" ? seen.sigma : paperSigma, driftSigma);
            return [{ picture, seen: seen[which], sigma: which === "light" ? sigma : sigma * papers }];
          }),
        );
      }
    }
  }
  return tones;
}
