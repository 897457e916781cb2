// One step for every grey level of a sheet that can be read, darkest print first.
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { mapPoint } from "#shared/reading/corners/homography.ts";
import type { SheetTones } from "#shared/reading/sheet-tones.ts";
import type { SheetVeil } from "#shared/reading/sheet-veil.ts";
import type { Corners, ReadingStep } from "#shared/schema/reading.ts";
import type { SheetPlace } from "./locate-sheet.ts";
import { endOfScaleShare, noRed } from "./patch-densities.ts";
import type { SampledSquare } from "./sample-patches.ts";

export interface MeasuredPatch {
  readonly square: SampledSquare;
  readonly levelIndex: number;
  /** Red density above the sheet's own white. */
  readonly density: number;
  /** Whether it counts for nothing: wild, uneven or at an end of the scale. */
  readonly leftOut: boolean;
  /** Corners of what was sampled, in the picture [px]. */
  readonly box: Corners;
}

interface LevelTones {
  readonly red: SheetTones;
  readonly visual: SheetTones;
  /** Density of the sheet's white above bare paper; null where only the sheet's own white is known. */
  readonly veil: SheetVeil | null;
  readonly whiteSigma: number;
}

/** The steps in order, and the number of the step that each level became. */
export function sheetSteps(
  place: SheetPlace,
  patches: readonly (MeasuredPatch | null)[],
  { red, visual, veil, whiteSigma }: LevelTones,
): { steps: ReadingStep[]; stepOfLevel: ReadonlyMap<number, number> } {
  const { layout, toPicture, inverted } = place;
  // The veil's own uncertainty is common to all steps and does not bend the scale: it stays with the sheet's zero.
  const [redVeil, visualVeil] = [veil?.red ?? 0, veil?.visual ?? 0];
  const steps: ReadingStep[] = [];
  const stepOfLevel = new Map<number, number>();
  const order = layout.levels.map((_, i) => i);
  if (inverted) order.reverse();
  for (const levelIndex of order) {
    const [tone, look] = [red.tones[levelIndex]!, visual.tones[levelIndex]!];
    const own = patches.filter((patch) => patch !== null).filter((patch) => patch.levelIndex === levelIndex);
    const [first] = own;
    if (tone.density === null || look.density === null || first === undefined) continue;
    const level = layout.levels[levelIndex]!;
    stepOfLevel.set(levelIndex, steps.length + 1);
    steps.push({
      index: steps.length + 1,
      input: inverted ? 255 - level : level,
      red: tone.density + redVeil,
      visual: look.density + visualVeil,
      lightness: Math.min(100, lightnessFromLuminance(10 ** -(look.density + visualVeil))),
      sigma: Math.hypot(tone.sigma, whiteSigma),
      sigmaVisual: Math.hypot(look.sigma, whiteSigma),
      centre: mapPoint(toPicture, first.square.xMm, first.square.yMm),
      box: first.box,
      flags: flagsOf(own),
    });
  }
  return { steps, stepOfLevel };
}

function flagsOf(patches: readonly MeasuredPatch[]): string[] {
  const mean = (of: (square: SampledSquare) => number): number =>
    patches.reduce((sum, { square }) => sum + of(square), 0) / patches.length;
  const flags: string[] = [];
  if (mean((square) => square.crushedShare) > endOfScaleShare) flags.push("crushed");
  if (mean((square) => square.red) < noRed) flags.push("out-of-gamut");
  if (patches.some((patch) => patch.leftOut)) flags.push("uneven");
  return flags;
}
