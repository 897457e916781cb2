// What a photogram's pages show of an answer, and how they read the hour at which the thing went out.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed, writtenFigures } from "#shared/format/number.ts";
import type { PhotogramAnswer } from "#shared/schema/photogram.ts";
import type { SunConditions } from "#shared/schema/test.ts";
import { clockOfZone, instantOf, isoInstant, zoneOfStart } from "#shared/sun/local-clock.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { horizonFields, horizonValues } from "#src/web/sun/horizon-fields.ts";

/** When the thing went out, by the clock that its test was written by. */
export function startOf(local: string, sun: SunConditions | null): string | undefined {
  if (local === "" || sun === null) return undefined;
  const [day = "", time = ""] = local.split("T");
  return inPlainWords(() => {
    const clock = clockOfZone(zoneOfStart(sun));
    return isoInstant(clock, instantOf(clock, day, time.slice(0, 5)));
  });
}

export function answerView(found: PhotogramAnswer, sun: SunConditions | null) {
  const { mid, shoulderSeconds, midDose } = found;
  return {
    density: formatDensity(found.density),
    stops: formatFixed(found.stops, 1),
    time: mid === null || sun !== null ? null : formatDuration(mid.seconds),
    range: mid === null ? "" : `${formatDuration(mid.lowerSeconds)} to ${formatDuration(mid.upperSeconds)}`,
    shoulder: shoulderSeconds === null || sun !== null ? null : formatDuration(shoulderSeconds),
    planHref: sun === null || midDose === null ? null : planHref(sun, midDose),
  };
}

/** The day planner for the thing's own dose, at the place of the test. */
function planHref(sun: SunConditions, dose: number): string {
  const query = new URLSearchParams({
    latitude: String(sun.latitude),
    longitude: String(sun.longitude),
    timeZone: zoneOfStart(sun),
    tiltDegrees: String(sun.tiltDegrees),
    facingDegrees: String(sun.facingDegrees),
    ...horizonValues(sun.horizonDegrees, horizonFields),
    dose: writtenFigures(dose, 5),
    chosen: "yes",
  });
  return `/sun?${query.toString()}`;
}
