// Densities of the sheet's patches above its own white, which is a smooth surface over the sheet.
import { smoothSurface, surfaceAt, type SmoothSurface } from "#shared/reading/light/surface-fit.ts";
import type { SheetPatchValue } from "#shared/reading/sheet-tones.ts";
import type { WhiteAt } from "./beyond-sheet.ts";
import type { SheetPlace } from "./locate-sheet.ts";
import type { SampledSquare } from "./sample-patches.ts";

/** Red light that counts as none: half an 8-bit code near black. */
export const noRed = 0.5 / 255 / 12.92;
/**
 * A patch whose light varies this much inside (interquartile range) has something lying on it, or is not where it
 * should be.
 */
const unevenShare = 0.6;
/** A patch with more of its pixels at an end of the scale than this is not measured by the rest. */
export const endOfScaleShare = 0.02;

/** log10 of the sheet's own white over the sheet, for each kind of light. */
export interface SheetWhite {
  readonly red: SmoothSurface;
  readonly luminance: SmoothSurface;
  readonly at: WhiteAt;
  /** Standard uncertainty of the red one (density). */
  readonly redSigma: number;
}

type Light = (square: SampledSquare) => number;

const centreOf = ({ layout }: SheetPlace, square: SampledSquare): { x: number; y: number } => ({
  x: (2 * square.xMm) / layout.options.widthMm - 1,
  y: (2 * square.yMm) / layout.heightMm - 1,
});

/** The sheet's white: the gaps between its patches, or where it was printed as a positive those of the first level. */
export function whiteOfSheet(
  place: SheetPlace,
  patches: readonly (SampledSquare | null)[],
  gaps: () => readonly SampledSquare[],
): SheetWhite {
  const white = place.inverted
    ? patches.filter((patch, i): patch is SampledSquare => patch !== null && place.layout.patches[i]!.levelIndex === 0)
    : gaps();
  const surfaceOf = (light: Light) =>
    smoothSurface(
      white.map((square) => ({ ...centreOf(place, square), value: Math.log10(Math.max(light(square), 1e-6)) })),
      place.inverted ? 1 : 3,
    );
  const red = surfaceOf((square) => square.red);
  const luminance = surfaceOf((square) => square.luminance);
  const blue = surfaceOf((square) => square.blue);
  return {
    red,
    luminance,
    at: (x, y) => ({
      red: surfaceAt(red, x, y),
      blue: surfaceAt(blue, x, y),
      luminance: surfaceAt(luminance, x, y),
    }),
    redSigma: red.residual / Math.sqrt(Math.max(1, white.length / 4)),
  };
}

/** Density of a light above the white at its place. @param logWhite log10 of the white's light */
const densityAbove = (logWhite: number, light: number): number => logWhite - Math.log10(Math.max(light, noRed));

/** Density of every patch above the white at its place, in one kind of light; one outside the picture is not usable. */
export function patchValues(
  place: SheetPlace,
  patches: readonly (SampledSquare | null)[],
  { light, white }: { readonly light: Light; readonly white: SmoothSurface },
): SheetPatchValue[] {
  return patches.map((patch, i) => {
    const { levelIndex } = place.layout.patches[i]!;
    if (patch === null) return { levelIndex, x: 0, y: 0, density: 0, usable: false };
    const { x, y } = centreOf(place, patch);
    const usable = patch.spreadShare < unevenShare && patch.clippedShare <= endOfScaleShare;
    const density = densityAbove(surfaceAt(white, x, y), light(patch));
    return { levelIndex, x, y, density, usable };
  });
}

/** Density of every patch that is in the picture, above the white at its place: in red, in luminance and in blue. */
export function patchColours(
  place: SheetPlace,
  patches: readonly (SampledSquare | null)[],
  white: SheetWhite,
): { readonly red: number; readonly green: number; readonly blue: number }[] {
  return patches.flatMap((patch) => {
    if (patch === null) return [];
    const { x, y } = centreOf(place, patch);
    const paper = white.at(x, y);
    // Luminance is nearly all green.
    return [
      {
        red: densityAbove(paper.red, patch.red),
        green: densityAbove(paper.luminance, patch.luminance),
        blue: densityAbove(paper.blue, patch.blue),
      },
    ];
  });
}
