// How an unknown tone curve may move the densities that one picture shows, in all channels alike.
import { linearFromSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import type { ExposedTone } from "./seen-tones.ts";

/**
 * What cameras do to tones, each a normal unknown of this size: all contrast, as a share; an S of the codes (share of
 * the scale); a shoulder next to paper, as a share of density that fades with e^-density.
 * Source: common practice, no source.
 */
const sizes = { contrast: 0.05, bend: 0.03, shoulder: 0.06 } as const;
/** Codes nearer to an end than this (0-1) bend like it. common practice, no source */
const nearEnd = 0.02;
/**
 * An S never makes a dark tone differ by more than this share of its size (log10 of light per code).
 * Source: common practice, no source.
 */
const mostSlope = 12;

/** What an S of the codes adds to log10 of light. */
function bendAt(light: number): number {
  const code = Math.min(Math.max(srgbFromLinear(light), nearEnd), 1 - nearEnd);
  const step = 0.5 * nearEnd;
  const slope = Math.log10(linearFromSrgb(code + step) / linearFromSrgb(code - step)) / (2 * step);
  return Math.min(slope, mostSlope) * Math.sin(2 * Math.PI * (code - 0.5));
}

/** How far each of the unknowns of the curve, at one standard deviation, moves a step's density above paper. */
export function toneMoves({ light, paper }: ExposedTone): Float64Array {
  const density = Math.log10(paper / light);
  return Float64Array.of(
    sizes.contrast * density,
    sizes.bend * (bendAt(light) - bendAt(paper)),
    sizes.shoulder * density * Math.exp(-Math.abs(density)),
  );
}
