// Where a test's page leads with what it knows: a filled run sheet, the day under the sun.
import type { SavedTest } from "#shared/schema/test.ts";
import { zoneOfStart } from "#shared/sun/local-clock.ts";

/** A run sheet filled with the test's materials and time; null where there is none to print by, or the sun decides. */
export function printHrefOf({ request, exposure }: SavedTest): string | null {
  const { seconds, lowerSeconds, upperSeconds } = exposure;
  if (seconds === null || request.sun != null || exposure.verdict === "unreliable") return null;
  const range = exposure.nextPrint ?? { lowerSeconds, upperSeconds };
  const query = new URLSearchParams({
    lampId: request.lampId,
    supportId: request.supportId,
    coatingId: request.coatingId,
    ...(request.filmId == null ? {} : { filmId: request.filmId }),
    exposureSeconds: String(Math.round(seconds)),
    advisedSeconds: String(seconds),
    ...(range.lowerSeconds === null || range.upperSeconds === null
      ? {}
      : { advisedLowerSeconds: String(range.lowerSeconds), advisedUpperSeconds: String(range.upperSeconds) }),
  });
  return `/prints/new?${query.toString()}`;
}

/** The day planner scaled by the test; null when it was not printed in the sun. */
export function sunHrefOf(test: SavedTest): string | null {
  const { sun } = test.request;
  if (sun === undefined || sun === null || test.exposure.seconds === null) return null;
  const query = new URLSearchParams({
    latitude: String(sun.latitude),
    longitude: String(sun.longitude),
    tiltDegrees: String(sun.tiltDegrees),
    facingDegrees: String(sun.facingDegrees),
    timeZone: zoneOfStart(sun),
    sky: sun.sky ?? "clear",
    ...(sun.elevationM === undefined ? {} : { elevationM: String(sun.elevationM) }),
    ...(sun.ground === undefined ? {} : { ground: sun.ground }),
    chosen: "yes",
    anchor: `test:${test.id}`,
  });
  return `/sun?${query.toString()}`;
}
