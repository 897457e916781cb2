// The sun page's form: what was typed becomes a request for a plan, or a list of fields that need another look.
import { InputError } from "#shared/errors.ts";
import { parseCoordinate } from "#shared/format/coordinate.ts";
import {
  sunExposureRequestSchema,
  type SunExposureAnswer,
  type SunExposureRequest,
} from "#shared/schema/sun/exposure.ts";
import {
  calendarDay,
  clockOfZone,
  clockTime,
  instantOf,
  isoInstant,
  type LocalClock,
} from "#shared/sun/local-clock.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { fieldErrors, type FormWords } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { placeOfField } from "#src/web/parts/place-field.ts";
import { horizonFields, horizonFrom } from "./horizon-fields.ts";

export interface SunForm {
  /** Text of every field, defaults filled in, to be shown again; day and time only as typed, since empty means now. */
  readonly values: FormValues;
  /** Chosen anchors: "test:<id>" or "kept:<id>". */
  readonly anchors: readonly string[];
  readonly errors: FieldErrors;
  /** Null without a place or with errors. */
  readonly request: SunExposureRequest | null;
  readonly clock: LocalClock;
}

/** A form, and the plan that it asks for; no plan without a place, or with errors. */
export interface Planned {
  readonly form: SunForm;
  readonly answer: SunExposureAnswer | null;
}

/** How the form names and labels what the schema names otherwise. */
const formWords: FormWords = {
  names: [
    [/^(startAt|)$/, "date"],
    [/^(anchorTestIds?|anchorIds)\b/, "anchor"],
    ...horizonFields.map((field, index) => [new RegExp(`^horizonDegrees\\.${index}$`), field] as const),
    [/^horizonDegrees$/, horizonFields[0]!],
  ],
  labels: {
    tiltDegrees: "The tilt",
    facingDegrees: "The facing",
    elevationM: "The height above the sea",
    haze: "The haze",
    dose: "The dose",
    ...Object.fromEntries(horizonFields.map((field) => [field, "The height of what stands there"])),
  },
};

/** A zone name that this machine knows, or null with the error noted. */
function clockFrom(zone: string, errors: FieldErrors): LocalClock {
  try {
    return inPlainWords(() => clockOfZone(zone === "" ? zoneHere() : zone));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    errors["timeZone"] = error.detail;
    return clockOfZone("UTC");
  }
}

/** The zone of this machine's clock. */
export function zoneHere(): string {
  return new Intl.DateTimeFormat().resolvedOptions().timeZone;
}

/**
 * The request that the form stands for.
 * @param sent the fields of the query
 * @param anchors values of the ticked boxes
 * @param nowMs the time that empty day and time fields mean
 */
export function sunFormFrom(sent: FormValues, anchors: readonly string[], nowMs: number): SunForm {
  const { value: place, errors: unplaced } = placeOfField(textOf(sent, "city"), "city");
  const errors: FieldErrors = { ...unplaced };
  const placed: FormValues =
    place === null
      ? sent
      : {
          ...sent,
          city: place.label,
          latitude: String(place.latitude),
          longitude: String(place.longitude),
          timeZone: place.timeZone || textOf(sent, "timeZone"),
        };
  const clock = clockFrom(textOf(placed, "timeZone"), errors);
  const values: FormValues = {
    tiltDegrees: "0",
    sky: "clear",
    ground: "grass",
    ...placed,
    timeZone: textOf(placed, "timeZone") || clock.name,
  };
  if (textOf(values, "latitude") === "" && textOf(values, "longitude") === "")
    return { values, anchors, errors, request: null, clock };
  const startAt = startFrom(values, clock, nowMs, errors);
  const parsed = sunExposureRequestSchema.safeParse(inputOf(values, anchors, { startAt, timeZone: clock.name }));
  const wrong = parsed.success ? errors : { ...fieldErrors(parsed.error, formWords), ...errors };
  return {
    values,
    anchors,
    errors: wrong,
    request: parsed.success && Object.keys(wrong).length === 0 ? parsed.data : null,
    clock,
  };
}

/** What the fields say, still to be checked. */
function inputOf(
  values: FormValues,
  anchors: readonly string[],
  { startAt, timeZone }: { readonly startAt: string; readonly timeZone: string },
) {
  const latitude = parseCoordinate(textOf(values, "latitude"));
  return {
    latitude,
    longitude: parseCoordinate(textOf(values, "longitude")),
    startAt,
    timeZone,
    tiltDegrees: numberOf(values, "tiltDegrees"),
    facingDegrees: numberOf(values, "facingDegrees") ?? towardsEquatorDegrees(latitude ?? 0),
    elevationM: numberOf(values, "elevationM"),
    horizonDegrees: horizonFrom(values, horizonFields),
    sky: textOf(values, "sky") || undefined,
    ground: textOf(values, "ground") || undefined,
    haze: numberOf(values, "haze"),
    glass: textOf(values, "glass") === "" ? undefined : textOf(values, "glass") === "yes",
    fitHaze: textOf(values, "fitHaze") === "yes",
    dose: anchors.length === 0 ? numberOf(values, "dose") : undefined,
    anchorTestIds: anchors.filter((anchor) => anchor.startsWith("test:")).map((anchor) => anchor.slice(5)),
    anchorIds: anchors.filter((anchor) => anchor.startsWith("kept:")).map((anchor) => anchor.slice(5)),
  };
}

/** Facing of a tilted frame when nothing was typed: south in the north, north in the south [° clockwise from north]. */
function towardsEquatorDegrees(latitude: number): number {
  return latitude < 0 ? 0 : 180;
}

/** The start by the clock of the place; an empty day or time means that of now, there. */
function startFrom(values: FormValues, clock: LocalClock, nowMs: number, errors: FieldErrors): string {
  const day = textOf(values, "date") || calendarDay(clock, nowMs);
  const time = textOf(values, "time").slice(0, 5) || clockTime(clock, nowMs);
  try {
    return inPlainWords(() => isoInstant(clock, instantOf(clock, day, time)));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    errors["date"] = error.detail;
    return "2000-01-01T12:00:00Z";
  }
}

/** The query that shows this plan again, with some fields changed; empty fields are left out. */
export function sunQuery(form: Pick<SunForm, "values" | "anchors">, changes: FormValues = {}): string {
  const fields = [
    "city",
    "latitude",
    "longitude",
    "timeZone",
    "date",
    "time",
    "tiltDegrees",
    "facingDegrees",
    "sky",
    "ground",
    "glass",
    "elevationM",
    ...horizonFields,
    "haze",
    "fitHaze",
    "dose",
  ];
  const query = new URLSearchParams();
  for (const field of fields) {
    const value = changes[field] ?? form.values[field] ?? "";
    if (value !== "") query.append(field, value);
  }
  for (const anchor of form.anchors) query.append("anchor", anchor);
  return query.toString();
}
