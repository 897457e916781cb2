// The fields of a test that was printed in the sun: place, start, frame and sky.
import { InputError } from "#shared/errors.ts";
import { parseCoordinate } from "#shared/format/coordinate.ts";
import type { SunConditions } from "#shared/schema/test.ts";
import { clockOfZone, instantOf, isoInstant, zoneOfStart } from "#shared/sun/local-clock.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "./form-values.ts";
import { placeOfField } from "./place-field.ts";
import { zoneHere } from "#src/web/sun/form.ts";
import { horizonFrom, horizonValues, sunHorizonBearings, sunHorizonFields } from "#src/web/sun/horizon-fields.ts";
import { groundChoices, skyChoices } from "#src/web/sun/view.ts";

/** What views/sun/_conditions.ejs needs besides the values. */
export interface SunConditionsView {
  readonly zones: readonly string[];
  readonly zoneHere: string;
  readonly skies: typeof skyChoices;
  readonly grounds: typeof groundChoices;
  /** Heights round the frame, to be filled in. */
  readonly horizon: typeof sunHorizonBearings;
  readonly isHorizonOpen: boolean;
  /** Coordinates, frame, sky and ground: open where something is wrong or was typed there. */
  readonly isFurtherOpen: boolean;
  /** What an empty place stands for, light by light. */
  readonly placesOfLights: readonly string[];
  readonly isOpen: boolean;
}

/** Fields that the town, a clear sky and a frame that lies flat make needless. */
const furtherFields = ["sunLatitude", "sunLongitude", "sunTimeZone", "sunTiltDegrees", "sunFacingDegrees"] as const;

export function sunConditionsView(
  values: FormValues,
  errors: FieldErrors,
  { isSunLamp, placesOfLights }: { readonly isSunLamp: boolean; readonly placesOfLights: readonly string[] },
): SunConditionsView {
  return {
    zones: Intl.supportedValuesOf("timeZone"),
    zoneHere: zoneHere(),
    skies: skyChoices,
    grounds: groundChoices,
    horizon: sunHorizonBearings,
    isHorizonOpen: sunHorizonFields.some((field) => textOf(values, field) !== ""),
    placesOfLights,
    isFurtherOpen: errors["sun"] !== undefined || furtherFields.some((name) => textOf(values, name) !== ""),
    isOpen:
      isSunLamp ||
      ["sun", "sunCity"].some((name) => errors[name] !== undefined) ||
      textOf(values, "sunLatitude") !== "",
  };
}

/** A named place and its clock, or those typed; what is wrong with the name goes into `errors`. */
function placeFrom(
  values: FormValues,
  errors: FieldErrors,
): {
  latitude: number | undefined;
  longitude: number | undefined;
  zone: string;
} {
  const named = placeOfField(textOf(values, "sunCity"), "sunCity");
  Object.assign(errors, named.errors);
  return {
    latitude: named.value?.latitude ?? parseCoordinate(textOf(values, "sunLatitude")),
    longitude: named.value?.longitude ?? parseCoordinate(textOf(values, "sunLongitude")),
    zone: named.value?.timeZone || textOf(values, "sunTimeZone") || zoneHere(),
  };
}

/** What lies between the sun and the print; each may be left out. */
function surroundingsFrom(values: FormValues) {
  const glass = textOf(values, "sunGlass");
  return {
    elevationM: numberOf(values, "sunElevationM"),
    sky: textOf(values, "sunSky") || undefined,
    ground: textOf(values, "sunGround") || undefined,
    glass: glass === "" ? undefined : glass === "yes",
    haze: numberOf(values, "sunHaze"),
    horizonDegrees: horizonFrom(values, sunHorizonFields),
  };
}

/**
 * What the fields stand for, to be checked with the test's schema.
 * @returns undefined when none of place and start is filled
 */
export function sunConditionsFrom(values: FormValues, errors: FieldErrors): unknown {
  const { latitude, longitude, zone } = placeFrom(values, errors);
  if (errors["sunCity"] !== undefined) return undefined;
  const start = textOf(values, "sunStartedAt");
  if (latitude === undefined && longitude === undefined && start === "") return undefined;
  if (latitude === undefined || longitude === undefined || start === "") {
    errors["sun"] =
      "For a test in the sun give the place (a town, or latitude and longitude) and the start, or leave them all " +
      "empty.";
    return undefined;
  }
  try {
    const clock = inPlainWords(() => clockOfZone(zone));
    const [day = "", time = ""] = start.split("T");
    return {
      latitude,
      longitude,
      startedAt: inPlainWords(() => isoInstant(clock, instantOf(clock, day, time.slice(0, 5)))),
      tiltDegrees: numberOf(values, "sunTiltDegrees") ?? 0,
      facingDegrees: numberOf(values, "sunFacingDegrees") ?? (latitude < 0 ? 0 : 180),
      timeZone: clock.name,
      ...surroundingsFrom(values),
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    errors["sun"] = error.detail;
    return undefined;
  }
}

/** What the fields would have to hold to give these conditions again. */
export function sunConditionValues(sun: SunConditions): FormValues {
  const optional = (name: string, value: number | string | undefined): FormValues =>
    value === undefined ? {} : { [name]: String(value) };
  return {
    sunLatitude: String(sun.latitude),
    sunLongitude: String(sun.longitude),
    sunStartedAt: sun.startedAt.slice(0, 16),
    sunTimeZone: zoneOfStart(sun),
    sunTiltDegrees: String(sun.tiltDegrees),
    sunFacingDegrees: String(sun.facingDegrees),
    ...optional("sunElevationM", sun.elevationM),
    ...optional("sunSky", sun.sky),
    ...optional("sunGround", sun.ground),
    ...(sun.glass === undefined ? {} : { sunGlass: sun.glass ? "yes" : "no" }),
    ...optional("sunHaze", sun.haze),
    ...horizonValues(sun.horizonDegrees, sunHorizonFields),
  };
}
