// Exposed coating along the strip's long sides: which patches beside it show it, and how dense it is there.
import { densityFromReflectance } from "#shared/density/density-and-reflectance.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import type { BesidePatch } from "#shared/schema/reading.ts";
import type { LightField } from "./light-field.ts";
import type { MarginCell } from "./paper-cells.ts";

/** Coating beside the strip got the whole exposure: paler than this share of the darkest step, it is none. */
const palestShare = 0.7;
/** Patches that are not one surface, or partly outside the picture. Common practice, no source. */
const mostSpreadShare = 0.1;
const leastInsideShare = 0.9;
/** So many patches of one band are enough of it; further out the brushed edge comes near. */
const fewestPatches = 6;
/** Densities of red light beyond this are lost in rounding. */
const mostDensity = 2.6;
/** What rounding and the field of light leave unsure of a patch at least [density]. Common practice, no source. */
const leastSigmaDensity = 0.002;

/**
 * The nearest band of exposed coating on either long side; empty where paper, or anything else, begins at the strip.
 * @param cells patches beside the strip, the nearest band first
 * @param field light that unexposed paper returns
 * @param darkest red density of the strip's darkest step
 * Source: density-definition; which patches are coating: common practice, no source
 */
export function besidePatches(cells: readonly MarginCell[], field: LightField, darkest: number): BesidePatch[] {
  return (["above", "below"] as const).flatMap((side) => {
    const bands = new Map<string, BesidePatch[]>();
    for (const cell of cells) {
      if (cell.v > 0 && cell.v < 1) continue;
      if ((side === "above") !== cell.v < 0) continue;
      if (cell.insideShare < leastInsideShare || cell.spreadShare > mostSpreadShare) continue;
      const patch = patchOf(cell, side, field);
      if (patch.red < palestShare * darkest || patch.red > mostDensity) continue;
      bands.set(cell.band, [...(bands.get(cell.band) ?? []), patch]);
    }
    return [...bands.values()].find((patches) => patches.length >= fewestPatches) ?? [];
  });
}

function patchOf(cell: MarginCell, side: BesidePatch["side"], field: LightField): BesidePatch {
  const paper = field.logAt(cell.u, cell.v).map(Math.exp);
  const [red, green, blue] = cell.mean;
  const luminance = luminanceFromLinearSrgb(red, green, blue);
  const paperLuminance = luminanceFromLinearSrgb(paper[0]!, paper[1]!, paper[2]!);
  return {
    place: 2 * cell.u - 1,
    side,
    red: densityFromReflectance(red / paper[0]!),
    visual: densityFromReflectance(luminance / paperLuminance),
    sigma: Math.hypot(cell.sigma * Math.LOG10E, leastSigmaDensity),
  };
}
