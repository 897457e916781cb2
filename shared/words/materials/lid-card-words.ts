// What the lid card of a box says besides its table.
import { formatLength } from "#shared/format/length.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatShare } from "#shared/format/number.ts";
import { shoulderShare } from "#shared/limits.ts";
import type { RetestDue } from "#shared/lookup/drift.ts";
import type { ExposureSource } from "#shared/schema/exposures.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { bedRangeWords } from "./evenness-words.ts";

/** Cautions of any UV box, short enough for its lid. common practice, no source */
export const lidCautions: readonly string[] = [
  "Ultraviolet light harms eyes and skin, also when it looks dim: never look at the tubes or diodes.",
  "Keep the lid shut while the lamp is on; do not defeat the interlock.",
  "Gloves for wet coatings and baths; wipe spills from the glass.",
  "Follow the supplier's safety data sheets, local rules and the studio's responsible person.",
];

/** In place of a time, where the light is the sun's. */
export const hourDecidesWords = "the hour decides: plan it by the sun";

/** The first line of the box's notes, and the distance that its times hold at. */
export function boxDescription({ notes, distanceMm }: Pick<Lamp, "notes" | "distanceMm">): string {
  const distance = distanceMm ? ` Times hold at ${formatLength(distanceMm)} from the light.` : "";
  return `${notes.split("\n")[0] ?? ""}${distance}`.trim();
}

/** How deep a time prints, where that is not the usual share of the deepest blue. */
export function ownDepthWords(share: number): string[] {
  return Math.abs(share - shoulderShare) < 1e-9 ? [] : [`to ${formatShare(share)} of the deepest blue`];
}

/** Where a time is not of tests of just this combination, with a blank before it; else nothing. */
export function originWords(source: ExposureSource | "newest"): string {
  switch (source) {
    case "newest":
      return " (newest test alone)";
    case "transferred":
      return " (carried over)";
    case "predicted":
      return " (a guess: not tested)";
    default:
      return "";
  }
}

/**
 * How even the bed is; empty where no map was kept with the box.
 * @param map the kept map, where it is here
 */
export function bedEvennessWords(
  { evenness }: Pick<Lamp, "evenness">,
  map: Parameters<typeof bedRangeWords>[1],
): string {
  return evenness
    ? `Evenness of the bed (${formatDay(evenness.madeAt)}): brightest to dimmest ` +
        `${bedRangeWords(evenness.rangeStops, map)}; ${formatShare(evenness.evenShare)} of it within a tenth of a stop.`
    : "";
}

/**
 * When to test again; one that is past says so, since a card hangs longer than a page is open.
 * @param isMoved whether the newest tests stand apart from those before
 */
export function testAgainWords({ on, atLampHours, isOverdue }: RetestDue, isMoved = false): string {
  if (isOverdue) return `EXPIRED ${formatDay(on)}: test again`;
  if (isMoved) return "newest tests differ: test again";
  return `test again by ${formatDay(on)}${atLampHours === null ? "" : `, or ${Math.round(atLampHours)} h`}`;
}

/** What a time gets at a place of the bed where less light falls [stops below the best place, 0 or less]. */
export function addedTimeWords(stops: number): string {
  const percent = Math.round(100 * (2 ** -stops - 1));
  return percent < 1 ? "0" : `+${percent} %`;
}
