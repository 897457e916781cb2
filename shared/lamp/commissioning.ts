// How far a box is on its way into use, found from its records, so that the path can be left and taken up anywhere.
import type { Lamp } from "#shared/schema/materials.ts";
import { isDaylight } from "./daylight.ts";

/** Steps of commissioning in their order. */
export type CommissioningStep = "described" | "evenness" | "first-test" | "distance";

/**
 * What is done of a box's commissioning.
 * @param hasTime whether a test under it gave a time
 * @param testDistancesMm distances that its tests say they were made at [mm]; null where one does not say
 */
export function commissioningDone(
  lamp: Pick<Lamp, "kind" | "distanceMm" | "distanceVaries" | "evenness">,
  { hasTime, testDistancesMm }: { readonly hasTime: boolean; readonly testDistancesMm: readonly (number | null)[] },
): Readonly<Record<CommissioningStep, boolean>> {
  const isOutside = isDaylight(lamp.kind);
  const usualMm = lamp.distanceMm ?? 0;
  return {
    described: lamp.kind !== "other" && (isOutside || usualMm > 0),
    evenness: (lamp.evenness ?? null) !== null,
    "first-test": hasTime,
    // Absent until the description was kept once: an unticked box that nobody saw is no answer.
    distance: lamp.distanceVaries === false || new Set(testDistancesMm.map((each) => each ?? usualMm)).size > 1,
  };
}
