// The new-test form: what was typed becomes a test request, or a list of fields that need another look.
import { totalsFromWaits } from "#shared/tablet/timed-strip.ts";
import { testRequestSchema, type TestRequest } from "#shared/schema/test.ts";
import { firstPlainIssue } from "#src/web/plain-issues.ts";
import {
  areTimesPlainNumbers,
  durationListOf,
  instantOfLocal,
  isTicked,
  numberListOf,
  numberOf,
  secondsOf,
  textOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import type { MaterialIds } from "#src/web/parts/material-fields.ts";
import { sunConditionsFrom, sunConditionValues } from "#src/web/parts/sun-conditions-form.ts";
import { stripSeries } from "./strip-series.ts";

/** A common film tablet: how many steps, how far apart. Source: common practice, no source. */
interface EvenTablet {
  readonly steps: number;
  readonly increment: number;
}

/** Choices of the form, by value of the radio button. */
const evenTablets: Readonly<Record<string, EvenTablet>> = {
  "even-21": { steps: 21, increment: 0.15 },
  "even-31": { steps: 31, increment: 0.1 },
  "even-41": { steps: 41, increment: 0.05 },
};

/** Density of the clear first step of a film tablet: the base alone. Source: common practice, no source. */
const usualFirstDensity = 0.05;

/** What the form shows before anything is typed. */
export const freshTestForm: FormValues = {
  tabletChoice: "even-21",
  steps: "21",
  increment: "0.15",
  firstDensity: String(usualFirstDensity),
  timedMeaning: "totals",
  levels: Array.from({ length: 21 }, (_, index) => Math.round((index * 255) / 20)).join(" "),
  channel: "red",
  targetSharePercent: "90",
  dry: "yes",
  oxidised: "yes",
};

/** How well a listed tablet is known, carried along unseen from the studio's own tablets and from saved tests. */
const tabletTrustFields = ["toleranceDensity", "scaleSigmaShare", "baseSigmaDensity"] as const;

function tabletTrustOf(values: FormValues): Record<string, number> {
  return Object.fromEntries(
    tabletTrustFields.flatMap((field) => {
      const value = numberOf(values, field);
      return value === undefined || Number.isNaN(value) ? [] : [[field, value]];
    }),
  );
}

/** The tablet that the form speaks of, for a schema to judge. */
export function tabletFrom(values: FormValues, errors: FieldErrors): unknown {
  const choice = textOf(values, "tabletChoice");
  const even = evenTablets[choice];
  const firstDensity = numberOf(values, "firstDensity") ?? usualFirstDensity;
  if (even !== undefined) return { kind: "transmission", ...even, firstDensity };
  switch (choice) {
    case "even-other":
      return {
        kind: "transmission",
        steps: numberOf(values, "steps"),
        increment: numberOf(values, "increment"),
        firstDensity,
      };
    case "listed": {
      const densities = numberListOf(textOf(values, "densities"));
      if (densities.length < 3 || densities.some(Number.isNaN))
        errors["densities"] =
          "Write the density of each step, clearest first, with blanks between them: at least three numbers.";
      return { kind: "transmission", densities, ...tabletTrustOf(values) };
    }
    case "timed": {
      const series = stripSeries.find(({ key }) => key === textOf(values, "timedSeries"));
      if (textOf(values, "timedTimes") === "" && series !== undefined)
        return { kind: "timed", seconds: series.seconds };
      const unit = textOf(values, "timedUnit");
      const times = durationListOf(textOf(values, "timedTimes"), unit === "minutes" ? "minutes" : "seconds");
      if (times.length < 3 || times.some(Number.isNaN))
        errors["timedTimes"] =
          "Write the time of each step, longest first, such as 16:00 8:00 4:00 2:00: at least three times. Or " +
          "choose a series.";
      else if (unit === "" && areTimesPlainNumbers(textOf(values, "timedTimes")) && isSunTest(values))
        errors["timedTimes"] =
          "Are these minutes or seconds? A test in the sun seldom ends in seconds. Choose below what plain " +
          "numbers are.";
      return { kind: "timed", seconds: textOf(values, "timedMeaning") === "waits" ? totalsFromWaits(times) : times };
    }
    case "levels": {
      const levels = numberListOf(textOf(values, "levels"));
      if (levels.length < 3 || levels.some(Number.isNaN))
        errors["levels"] =
          "Write the grey level of each step from 0 (darkest blue) to 255 (white paper), with blanks between " +
          "them: at least three numbers.";
      return { kind: "levels", levels };
    }
    case "sheet":
      return { kind: "sheet" };
    default:
      errors["tabletChoice"] = "Choose what lay on the print.";
      return { kind: "sheet" };
  }
}

/** Whether the form says that the test was printed in the sun. */
function isSunTest(values: FormValues): boolean {
  return ["sunCity", "sunLatitude", "sunStartedAt"].some((name) => textOf(values, name) !== "");
}

/** The four corners from their eight number fields, `prefix` before each name; undefined when none is filled. */
export function cornersFrom(values: FormValues, errors: FieldErrors, prefix = ""): [number, number][] | undefined {
  const numbers = [0, 1, 2, 3].map(
    (corner) =>
      [numberOf(values, `${prefix}corners.${corner}.0`), numberOf(values, `${prefix}corners.${corner}.1`)] as const,
  );
  if (numbers.every(([x, y]) => x === undefined && y === undefined)) return undefined;
  if (numbers.some(([x, y]) => x === undefined || y === undefined || Number.isNaN(x) || Number.isNaN(y))) {
    errors[`${prefix}corners`] = "Give both numbers of all four corners, or leave all eight empty.";
    return undefined;
  }
  return numbers.map(([x = 0, y = 0]) => [x, y]);
}

/** Reference patches, one on a line: density, across, down. */
function referenceFrom(values: FormValues, errors: FieldErrors): unknown {
  const lines = textOf(values, "referencePatches")
    .split("\n")
    .filter((line) => line.trim() !== "");
  if (lines.length === 0) return undefined;
  const patches = lines.map((line) => numberListOf(line));
  if (patches.some((patch) => patch.length !== 3 || patch.some(Number.isNaN))) {
    errors["referencePatches"] = "Write three numbers on each line: density, pixels across, pixels down.";
    return undefined;
  }
  return { patches: patches.map(([density, x, y]) => ({ density, at: [x, y] })) };
}

/** Names of schema fields to names of form fields, where they differ. */
const formNames: readonly (readonly [RegExp, string])[] = [
  [/^tablet\.densities/, "densities"],
  [/^tablet\.seconds/, "timedTimes"],
  [/^tablet\.levels/, "levels"],
  [/^tablet\.steps/, "steps"],
  [/^tablet\.increment/, "increment"],
  [/^tablet\.firstDensity/, "firstDensity"],
  [/^tablet/, "tabletChoice"],
  [/^corners/, "corners"],
  [/^reference/, "referencePatches"],
  [/^targetShare/, "targetSharePercent"],
  [/^sun/, "sun"],
];

function formName(field: string): string {
  return formNames.find(([pattern]) => pattern.test(field))?.[1] ?? field;
}

/** A whole number of percent as a share 0-1. */
function shareOfPercent(percent: number | undefined): number | undefined {
  return percent === undefined ? undefined : percent / 100;
}

/**
 * The request that the form stands for.
 * @param materials ids chosen, or undefined where nothing was chosen
 * @returns the request, or the fields at fault
 */
export function testRequestFrom(
  values: FormValues,
  materials: MaterialIds,
): { readonly request: TestRequest } | { readonly errors: FieldErrors } {
  const errors: FieldErrors = {};
  const tablet = tabletFrom(values, errors);
  const isTabletWrong = Object.keys(errors).length > 0;
  const exposureSeconds = secondsOf(values, "exposureMinutes", "exposureSecondsPart");
  const madeAtLocal = textOf(values, "madeAt");
  const madeAt = madeAtLocal === "" ? undefined : instantOfLocal(madeAtLocal, textOf(values, "utcOffset"));
  if (madeAtLocal !== "" && madeAt === undefined)
    errors["madeAt"] = "Write day and time, such as 2026-05-01 14:30, or leave it empty.";
  const isTimed = textOf(values, "tabletChoice") === "timed";
  if (exposureSeconds === undefined && !isTimed) errors["exposureSeconds"] = "Say how long the test was exposed.";
  if (exposureSeconds !== undefined && !(exposureSeconds > 0))
    errors["exposureSeconds"] = "Write minutes and seconds as numbers, more than nothing together.";
  const input = {
    tablet,
    corners: cornersFrom(values, errors),
    reference: referenceFrom(values, errors),
    ...materials,
    filmInTest: isTicked(values, "filmInTest"),
    exposureSeconds,
    channel: textOf(values, "channel") || undefined,
    targetShare: shareOfPercent(numberOf(values, "targetSharePercent")),
    madeAt,
    name: textOf(values, "name"),
    notes: textOf(values, "notes"),
    lampDistanceMm: numberOf(values, "lampDistanceMm"),
    lampHours: numberOf(values, "lampHours"),
    sun: sunConditionsFrom(values, errors),
    humidityPercent: numberOf(values, "humidityPercent"),
    temperatureC: numberOf(values, "temperatureC"),
    oxidised: isTicked(values, "oxidised"),
    dry: isTicked(values, "dry"),
  };
  const parsed = testRequestSchema.safeParse(input);
  if (!parsed.success) {
    for (const issue of parsed.error.issues) {
      const plain = firstPlainIssue({ ...parsed.error, issues: [issue] } as typeof parsed.error);
      // The form has already said what is wrong with the tablet, in better words.
      if (isTabletWrong && plain.field.startsWith("tablet")) continue;
      const name = formName(plain.field);
      if (errors[name] === undefined) errors[name] = sentenceOf(plain.message);
    }
  }
  return parsed.success && Object.keys(errors).length === 0 ? { request: parsed.data } : { errors };
}

/** A schema's few words as a sentence. */
function sentenceOf(message: string): string {
  return `${message.charAt(0).toUpperCase()}${message.slice(1)}${/[.!?]$/.test(message) ? "" : "."}`;
}

/** What the form would have to hold to give this request again: for changing a saved test. */
export function formValuesOf(request: TestRequest): FormValues {
  const { tablet } = request;
  const values: Record<string, string> = { ...freshTestForm };
  const put = (name: string, value: number | string | null | undefined): void => {
    if (value !== null && value !== undefined) values[name] = String(value);
  };
  switch (tablet.kind) {
    case "transmission":
      if ("densities" in tablet) {
        values["tabletChoice"] = "listed";
        values["densities"] = tablet.densities.join(" ");
        for (const field of tabletTrustFields) put(field, tablet[field]);
      } else {
        const common = Object.entries(evenTablets).find(
          ([, even]) => even.steps === tablet.steps && even.increment === tablet.increment,
        );
        values["tabletChoice"] = common?.[0] ?? "even-other";
        put("steps", tablet.steps);
        put("increment", tablet.increment);
        put("firstDensity", tablet.firstDensity);
      }
      break;
    case "timed":
      values["tabletChoice"] = "timed";
      values["timedTimes"] = tablet.seconds.join(" ");
      values["timedUnit"] = "seconds";
      break;
    case "levels":
      values["tabletChoice"] = "levels";
      values["levels"] = tablet.levels.join(" ");
      break;
    case "sheet":
      values["tabletChoice"] = "sheet";
  }
  for (const name of [
    "lampId",
    "supportId",
    "coatingId",
    "filmId",
    "channel",
    "name",
    "notes",
    "lampDistanceMm",
    "lampHours",
    "humidityPercent",
    "temperatureC",
  ] as const)
    put(name, request[name]);
  if (request.exposureSeconds !== undefined) {
    put("exposureMinutes", Math.floor(request.exposureSeconds / 60));
    put("exposureSecondsPart", Math.round((request.exposureSeconds % 60) * 10) / 10);
  }
  put("targetSharePercent", Math.round(request.targetShare * 1000) / 10);
  values["filmInTest"] = request.filmInTest ? "yes" : "";
  values["oxidised"] = request.oxidised === false ? "" : "yes";
  values["dry"] = request.dry === false ? "" : "yes";
  if (request.madeAt !== undefined) Object.assign(values, localOf(request.madeAt, "madeAt"));
  if (request.sun) Object.assign(values, sunConditionValues(request.sun));
  if (request.reference !== undefined)
    values["referencePatches"] = request.reference.patches
      .map(({ density, at }) => [density, ...at].join(" "))
      .join("\n");
  request.corners?.forEach(([x, y], corner) => {
    put(`corners.${corner}.0`, x);
    put(`corners.${corner}.1`, y);
  });
  return values;
}

/** An instant as a date-and-time field and its offset. */
function localOf(instant: string, name: string): FormValues {
  const offset = /[+-]\d\d:\d\d$/.exec(instant)?.[0] ?? "+00:00";
  return { [name]: instant.slice(0, 16), utcOffset: offset };
}
