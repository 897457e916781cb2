// On which scale a reading's densities stand. The same number means another depth on another scale, so only depths of
// one scale are held against each other.
import type { Channel } from "#shared/schema/curve.ts";
import type { Reading } from "#shared/schema/reading.ts";

/**
 * Name of the scale, equal for readings whose depths compare: that of pictures in colour and of colours that an
 * instrument measured, of grey pictures, or of an instrument's own filter by the name that was given to it.
 */
export function densityScaleOf(
  { instrument, warnings }: Pick<Reading, "instrument" | "warnings">,
  channel: Channel,
): string {
  if (instrument === undefined) return warnings.some(({ code }) => code === "picture-grey") ? "grey" : "colour";
  const { quantity, scaleName } = instrument;
  const isByFilter = quantity === "red-density" || quantity === "visual-density";
  return isByFilter ? `${channel} filter, ${(scaleName ?? "").toLowerCase()}` : "colour";
}
