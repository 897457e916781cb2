// Where a light stood when a test was last made in it: the sun of this garden, the shade of that courtyard.
import type { SunConditions } from "#shared/schema/test.ts";
import { writtenFixed } from "#shared/format/number.ts";
import { zoneOfStart } from "#shared/sun/local-clock.ts";
import type { StoreReader } from "#src/store/store.ts";
import { textOf, type FormValues } from "./form-values.ts";
import { sunConditionValues } from "./sun-conditions-form.ts";

/** Newest tests in the sun that are looked through. */
const mostTests = 60;

/** Fields that stay the same from one test in a light to the next. */
const lastingFields = /^sun(Latitude|Longitude|TimeZone|ElevationM|Ground|TiltDegrees|FacingDegrees|Horizon\d+)$/;

/** Sun of the newest test that was made in each light, by the light's id. */
function lastSuns(store: StoreReader): ReadonlyMap<string, SunConditions> {
  const found = new Map<string, SunConditions>();
  for (const id of store.sunTestIds(mostTests)) {
    const { lampId, sun } = store.tests.get(id).request;
    if (sun && !found.has(lampId)) found.set(lampId, sun);
  }
  return found;
}

/** A form that names a start but no place means the place of its light's last test; what is typed stays. */
export function withPlaceOfLight(store: StoreReader, values: FormValues): FormValues {
  const isPlaced = ["sunCity", "sunLatitude", "sunLongitude"].some((name) => textOf(values, name) !== "");
  if (isPlaced || textOf(values, "sunStartedAt") === "") return values;
  const sun = lastSuns(store).get(textOf(values, "lampId"));
  if (sun === undefined) return values;
  const typed = Object.entries(values).filter(([, value]) => value.trim() !== "");
  const lasting = Object.entries(sunConditionValues(sun)).filter(([name]) => lastingFields.test(name));
  // The browser fills in its own zone; without a place that is the light's.
  const { sunTimeZone: _zone, ...kept } = Object.fromEntries(typed);
  return { ...values, ...Object.fromEntries(lasting), ...kept };
}

/** What an empty place stands for, light by light: a line for people. */
export function placesOfLights(store: StoreReader): string[] {
  return [...lastSuns(store)].flatMap(([lampId, sun]) => {
    const name = store.lamps.find(lampId)?.name;
    if (name === undefined) return [];
    const height = sun.elevationM === undefined ? "" : `, ${writtenFixed(sun.elevationM, 0)} m`;
    const place = `${writtenFixed(sun.latitude, 2)}, ${writtenFixed(sun.longitude, 2)}`;
    return [`${name}: ${place}, ${zoneOfStart(sun).replaceAll("_", " ")}${height}`];
  });
}
