// A place that is in doubt, looked for once more in other light. Noise, shadows and things that lie about show
// differently there: a place that comes again is one, and one that held by chance wanders off.
import type { Corners } from "#shared/schema/reading.ts";
import { apartShare } from "./corners-apart.ts";
import { refinedStrip } from "./refined/refine-strip.ts";
import { smoothed, type Field } from "./smoothed-field.ts";
import type { SmallPicture } from "./small-picture.ts";

/** Rounds of smoothing, as where steps are fine. */
const smoothings = 1;

/**
 * How far from a place the strip lies when it is fitted there as a whole in other light: in blueness or darkness,
 * whichever it was not found in, and in green.
 * @param corners small pixels, the dark end first
 * @param seenIn the field that it was found in
 * @returns for each look, share of the length; infinite where it makes no strip; empty for grey pictures
 */
export function apartInOtherLight(
  small: SmallPicture,
  { corners, seenIn }: { readonly corners: Corners; readonly seenIn: Field },
  steps: number,
): number[] {
  const { blueness } = small;
  const green = small.greenDarkness();
  if (blueness === null || green === null) return [];
  return [seenIn === blueness ? small.darkness : blueness, green].map((field) => {
    const again = refinedStrip(smoothed(field, smoothings), corners, steps);
    return again === null ? Infinity : apartShare(again.corners, corners);
  });
}
