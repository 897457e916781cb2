// The new-test form: what was typed becomes a test request, or a list of fields that need another look.
import { tabletSchema, type Corners, type Tablet } from "#shared/schema/reading.ts";
import { testRequestSchema, type TestRequest } from "#shared/schema/test.ts";
import { cornersFrom } from "#src/web/parts/corners-form.ts";
import { fieldErrors, type FormNames } from "#src/web/parts/form-errors.ts";
import {
  instantOfLocal,
  isTicked,
  numberListOf,
  numberOf,
  secondsOf,
  textOf,
  type Asked,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import type { ChosenMaterials } from "#src/web/parts/material-fields.ts";
import { sunConditionsFrom } from "#src/web/parts/sun-conditions-form.ts";
import { instrumentFrom } from "./instrument-form.ts";
import { tabletFrom, usualFirstDensity, type FindTablet } from "./tablet-form.ts";

/** What the form shows before anything is typed. */
export const freshTestForm: FormValues = {
  tabletChoice: "even-21",
  steps: "21",
  increment: "0.15",
  firstDensity: String(usualFirstDensity),
  timedMeaning: "totals",
  levels: Array.from({ length: 21 }, (_, index) => Math.round((index * 255) / 20)).join(" "),
  channel: "red",
  instrumentSigma: "0.01",
  targetSharePercent: "",
  dry: "yes",
  oxidised: "yes",
};

/** What the form stands for, parsed once. */
export interface TestForm {
  /** A sheet where the form does not say. */
  readonly tablet: Tablet;
  readonly corners: Corners | undefined;
  /** Null while something is wrong. */
  readonly request: TestRequest | null;
  readonly errors: FieldErrors;
}

/** Names of schema fields to names of form fields, where they differ. */
const formNames: FormNames = [
  [/^tablet\.densities/, "densities"],
  [/^tablet\.seconds/, "timedTimes"],
  [/^tablet\.levels/, "levels"],
  [/^tablet\.steps/, "steps"],
  [/^tablet\.increment/, "increment"],
  [/^tablet\.firstDensity/, "firstDensity"],
  [/^tablet/, "tabletChoice"],
  [/^corners/, "corners"],
  [/^reference/, "referencePatches"],
  [/^instrument\.sigma/, "instrumentSigma"],
  [/^instrument\.scale/, "instrumentScale"],
  [/^instrument\.quantity/, "instrumentQuantity"],
  [/^instrument/, "instrumentText"],
  [/^targetShare/, "targetSharePercent"],
  [/^coatingGradientShare/, "coatingUnevenPercent"],
  [/^sun/, "sun"],
];

const labels: Readonly<Record<string, string>> = {
  steps: "The number of steps",
  increment: "The density from one step to the next",
  firstDensity: "The density of the clearest step",
  targetSharePercent: "The share of the deepest blue",
  lampDistanceMm: "The distance from the light",
  lampHours: "The lamp's hours",
  humidityPercent: "The humidity",
  temperatureC: "The temperature",
  coatingUnevenPercent: "How uneven your coatings are",
  instrumentSigma: "The uncertainty of one measurement",
  name: "The name",
  notes: "The note",
};

/** Fields of which the form itself has said what is wrong with the tablet, in better words than the schema's. */
const tabletFields = /^(tabletChoice|densities|timedTimes|levels|steps|increment|firstDensity)$/;

/** The request with the coating's own depth, where the form leaves open how deep the print shall be. */
export function withOwnDepth<Asked extends Pick<TestRequest, "coatingId" | "targetShare">>(
  values: FormValues,
  asked: Asked,
  depthOf: (coatingId: string) => number,
): Asked {
  return textOf(values, "targetSharePercent") === "" ? { ...asked, targetShare: depthOf(asked.coatingId) } : asked;
}

/** Reads the form. What is missing of the materials is said by their own words. */
export function testFormFrom(values: FormValues, materials: ChosenMaterials, findTablet?: FindTablet): TestForm {
  const tablet = tabletFrom(values, findTablet);
  const corners = cornersFrom(values);
  const reference = referenceFrom(values);
  const madeAt = madeAtFrom(values);
  const exposure = exposureFrom(values);
  const sun = sunFrom(values);
  const parsed = testRequestSchema.safeParse({
    tablet: tablet.value,
    corners: corners.value,
    reference: reference.value,
    ...instrumentFrom(values),
    ...materials.ids,
    filmInTest: isTicked(values, "filmInTest"),
    exposureSeconds: exposure.value,
    channel: textOf(values, "channel") || undefined,
    targetShare: shareOfPercent(numberOf(values, "targetSharePercent")),
    madeAt: madeAt.value,
    name: textOf(values, "name"),
    notes: textOf(values, "notes"),
    negativeId: textOf(values, "negativeId") || undefined,
    headToTailTestId: textOf(values, "headToTailTestId") || undefined,
    lampDistanceMm: numberOf(values, "lampDistanceMm"),
    lampHours: numberOf(values, "lampHours"),
    sun: sun.value,
    humidityPercent: numberOf(values, "humidityPercent"),
    temperatureC: numberOf(values, "temperatureC"),
    coatingGradientShare: shareOfPercent(numberOf(values, "coatingUnevenPercent")),
    oxidised: isTicked(values, "oxidised"),
    wash: textOf(values, "wash") || undefined,
    peroxide: { yes: true, no: false }[textOf(values, "peroxide")],
    dry: isTicked(values, "dry"),
  });
  const ofSchema = parsed.success ? {} : fieldErrors(parsed.error, { names: formNames, labels });
  const isTabletWrong = Object.keys(tablet.errors).length > 0;
  const errors: FieldErrors = {
    ...Object.fromEntries(Object.entries(ofSchema).filter(([name]) => !(isTabletWrong && tabletFields.test(name)))),
    ...tablet.errors,
    ...corners.errors,
    ...reference.errors,
    ...madeAt.errors,
    ...exposure.errors,
    ...sun.errors,
    ...materials.errors,
  };
  const drawn = tabletSchema.safeParse(tablet.value);
  return {
    tablet: drawn.success ? drawn.data : { kind: "sheet" },
    corners: corners.value,
    request: parsed.success && Object.keys(errors).length === 0 ? parsed.data : null,
    errors,
  };
}

function madeAtFrom(values: FormValues): Asked<string | undefined> {
  const local = textOf(values, "madeAt");
  if (local === "") return { value: undefined, errors: {} };
  const value = instantOfLocal(local, textOf(values, "utcOffset"));
  const sentence = "Write day and time, such as 2026-05-01 14:30, or leave it empty.";
  return { value, errors: value === undefined ? { madeAt: sentence } : {} };
}

function exposureFrom(values: FormValues): Asked<number | undefined> {
  const value = secondsOf(values, "exposureMinutes", "exposureSecondsPart");
  if (value === undefined && textOf(values, "tabletChoice") !== "timed")
    return { value, errors: { exposureSeconds: "Say how long the test was exposed." } };
  if (value !== undefined && !(value > 0))
    return {
      value,
      errors: { exposureSeconds: "Write minutes and seconds as numbers, more than nothing together." },
    };
  return { value, errors: {} };
}

function sunFrom(values: FormValues): Asked<unknown> {
  const errors: FieldErrors = {};
  return { value: sunConditionsFrom(values, errors), errors };
}

/** Reference patches, one on a line: density, across, down. */
function referenceFrom(values: FormValues): Asked<unknown> {
  const lines = textOf(values, "referencePatches")
    .split("\n")
    .filter((line) => line.trim() !== "");
  if (lines.length === 0) return { value: undefined, errors: {} };
  const patches = lines.map((line) => numberListOf(line));
  if (patches.some((patch) => patch.length !== 3 || patch.some(Number.isNaN)))
    return {
      value: undefined,
      errors: { referencePatches: "Write three numbers on each line: density, pixels across, pixels down." },
    };
  const listed = patches.map(([density, x, y]) => ({ density, at: [x, y] }));
  return { value: { patches: listed, ...(isTicked(values, "filmOnPaper") ? { filmOnPaper: true } : {}) }, errors: {} };
}

/** A whole number of percent as a share 0-1. */
function shareOfPercent(percent: number | undefined): number | undefined {
  return percent === undefined ? undefined : percent / 100;
}
