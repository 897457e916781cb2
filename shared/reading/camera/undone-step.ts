// One step's light with what a camera did to it undone: stray light, and saturation raised about its luminance.
import { luminanceWeights } from "#shared/limits.ts";
import { dotProduct } from "#shared/statistics/dot-product.ts";
import type { Camera } from "./cameras-tried.ts";

/** Red, green and blue. */
export const channels = 3;

/** A step without stray light and raised saturation: densities, and how the seen ones move them (row by row). */
export interface PlainStep {
  readonly densities: Float64Array;
  readonly slopes: Float64Array;
}

/**
 * What a step would be without stray light and raised saturation; false where no light would be left.
 * @param lights as seen, in all channels
 */
export function undo(
  lights: Float64Array,
  { flare, chroma }: Pick<Camera, "flare" | "chroma">,
  { densities, slopes }: PlainStep,
): boolean {
  const luminance = dotProduct(luminanceWeights, lights);
  for (let c = 0; c < channels; c++) {
    const light = (luminance + (lights[c]! - luminance) / chroma) * (1 + flare) - flare;
    if (!(light > 0)) return false;
    densities[c] = -Math.log10(light);
    for (let from = 0; from < channels; from++) {
      const share = (1 - 1 / chroma) * luminanceWeights[from]! + (from === c ? 1 / chroma : 0);
      slopes[c * channels + from] = (share * lights[from]! * (1 + flare)) / light;
    }
  }
  return true;
}
