// A saved test as the form would have to be filled to give it again, for changing it.
import type { TestRequest } from "#shared/schema/test.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { sunConditionValues } from "#src/web/parts/sun-conditions-form.ts";
import { freshTestForm } from "./form.ts";
import { instrumentValues } from "./instrument-form.ts";
import { tabletValues } from "./tablet-form.ts";

/** Fields that hold a value of the request as it is. */
const plainFields = [
  "lampId",
  "supportId",
  "coatingId",
  "batchId",
  "filmId",
  "channel",
  "name",
  "notes",
  "negativeId",
  "headToTailTestId",
  "lampDistanceMm",
  "lampHours",
  "humidityPercent",
  "temperatureC",
  "wash",
] as const satisfies readonly (keyof TestRequest)[];

const ticked = (isSo: boolean): string => (isSo ? "yes" : "");

export function formValuesOf(request: TestRequest): FormValues {
  return {
    ...freshTestForm,
    ...tabletValues(request.tablet),
    ...Object.fromEntries(
      plainFields.flatMap((name) => (request[name] == null ? [] : [[name, String(request[name])]])),
    ),
    ...exposureValues(request.exposureSeconds),
    targetSharePercent: String(Math.round(request.targetShare * 1000) / 10),
    ...coatingValues(request.coatingGradientShare),
    ...(request.batchId == null ? { batchId: "none" } : {}),
    ...(request.peroxide == null ? {} : { peroxide: request.peroxide ? "yes" : "no" }),
    filmInTest: ticked(request.filmInTest),
    oxidised: ticked(request.oxidised !== false),
    dry: ticked(request.dry !== false),
    ...madeAtValues(request.madeAt),
    ...(request.sun ? sunConditionValues(request.sun) : {}),
    ...instrumentValues(request.instrument),
    ...referenceValues(request.reference),
    ...cornerValues(request.corners),
  };
}

/** How uneven the coatings are, in per cent, where it was told. */
function coatingValues(share: number | null | undefined): FormValues {
  return share == null ? {} : { coatingUnevenPercent: String(Math.round(share * 10_000) / 100) };
}

function exposureValues(seconds: number | undefined): FormValues {
  if (seconds === undefined) return {};
  return {
    exposureMinutes: String(Math.floor(seconds / 60)),
    exposureSecondsPart: String(Math.round((seconds % 60) * 10) / 10),
  };
}

/** An instant as a date-and-time field and its offset. */
function madeAtValues(instant: string | undefined): FormValues {
  if (instant === undefined) return {};
  const offset = /[+-]\d\d:\d\d$/.exec(instant)?.[0] ?? "+00:00";
  return { madeAt: instant.slice(0, 16), utcOffset: offset };
}

function referenceValues(reference: TestRequest["reference"]): FormValues {
  if (reference === undefined) return {};
  return {
    referencePatches: reference.patches.map(({ density, at }) => [density, ...at].join(" ")).join("\n"),
    ...(reference.filmOnPaper === true ? { filmOnPaper: "yes" } : {}),
  };
}

function cornerValues(corners: TestRequest["corners"]): FormValues {
  return Object.fromEntries(
    (corners ?? []).flatMap((point, corner) =>
      point.map((value, axis) => [`corners.${corner}.${axis}`, String(value)]),
    ),
  );
}
