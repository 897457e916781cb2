// The exposure of each step, on the one scale that all curves share.
import type { Tablet } from "#shared/schema/reading.ts";

/**
 * log10 of relative exposure: seconds of this lamp through clear air.
 * @param input what the step received: tablet density for a film, seconds for a timed strip
 * @param exposureSeconds whole exposure [s]; not used for a timed strip, whose steps carry their own seconds
 * @returns null where the exposure of the step cannot be known: for grey levels on film, whose UV densities no test
 *   tells
 * Source: Iso6846 (H = E t, borrowed on a relative scale); density-definition for density.
 * @example
 * stepLogH({ tablet: { kind: "transmission", densities: [0, 1, 2] }, input: 1, exposureSeconds: 100 }) // => 1
 */
export function stepLogH({
  tablet,
  input,
  exposureSeconds,
}: {
  tablet: Tablet;
  input: number;
  exposureSeconds: number | undefined;
}): number | null {
  switch (tablet.kind) {
    case "transmission":
      return exposureSeconds === undefined ? null : Math.log10(exposureSeconds) - input;
    case "timed":
      return Math.log10(input);
    case "levels":
    case "sheet":
      return null;
  }
}

/** Longest exposure that any step was given [s]: the whole exposure, or the longest step of a timed strip. */
export function longestSeconds(tablet: Tablet, exposureSeconds: number | undefined): number | null {
  return tablet.kind === "timed" ? Math.max(...tablet.seconds) : (exposureSeconds ?? null);
}
