// Photograms: how long a half-transparent thing wants, from the step of a tablet that its image matches.
import { Router } from "express";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed, writtenFigures } from "#shared/format/number.ts";
import { clockOfZone, instantOf, isoInstant, zoneOfStart } from "#shared/sun/local-clock.ts";
import type { PhotogramAnswer } from "#shared/schema/photogram.ts";
import { photogramTroubleWords } from "#shared/words/sun/photogram-words.ts";
import { readPhotogram, type PhotogramTrouble } from "#src/studio/negatives/read-photogram.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { SunConditions } from "#shared/schema/test.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { testChoices } from "#src/web/parts/field-view.ts";
import { errorSummary, formTrouble, type FieldOrder } from "#src/web/parts/form-errors.ts";
import {
  formValuesFrom,
  numberOf,
  secondsOf,
  textOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { horizonFields, horizonValues } from "#src/web/sun/horizon-fields.ts";
import { photogramPhotoRoutes } from "./photo-routes.ts";
import { testCard } from "#src/web/tests/card.ts";

const offeredTests = 60;
const fieldOrder: FieldOrder = [
  ["testId", "object-test"],
  ["step", "object-step"],
  ["exposureSeconds", "object-time-minutes"],
  ["startedAt", "object-start"],
];

/** The field that each trouble is about. */
const troubleFields: Readonly<Record<PhotogramTrouble, string>> = {
  incomplete: "step",
  "start-missing": "startedAt",
  "no-light": "startedAt",
  "too-pale-or-too-deep": "step",
};

export function objectPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.use(photogramPhotoRoutes(tools));
  router.get("/objects", (request, response) => {
    const values = formValuesFrom(request.query);
    const testId = textOf(values, "testId");
    const sun = store.tests.find(testId)?.request.sun ?? null;
    const outcome = testId === "" ? null : outcomeOf(store, values, sun);
    const errors = outcome !== null && "errors" in outcome ? outcome.errors : {};
    const offered = store.tests
      .list({ limit: offeredTests })
      .tests.filter((each) => each.dMax !== null)
      .map((each) => testCard(store, each));
    renderPage(
      response,
      "photograms/show",
      { title: "Lace, leaves and other photograms", here: "studio" },
      {
        hasTests: offered.length > 0,
        tests: testChoices(offered),
        values,
        errors,
        summary: errorSummary(errors, fieldOrder),
        answer: outcome === null || "errors" in outcome ? null : answerView(outcome, sun),
      },
    );
  });
  return router;
}

/** The photogram's answer, or what is missing or wrong, beside its field. */
function outcomeOf(
  store: Tools["store"],
  values: FormValues,
  sun: SunConditions | null,
): PhotogramAnswer | { readonly errors: FieldErrors } {
  try {
    const outcome = readPhotogram(
      { store },
      {
        testId: textOf(values, "testId"),
        step: numberOf(values, "step") ?? 0,
        exposureSeconds: secondsOf(values, "minutes", "seconds") ?? 0,
        startedAt: startOf(textOf(values, "startedAt"), sun),
      },
    );
    if (typeof outcome !== "string") return outcome;
    return { errors: { [troubleFields[outcome]]: photogramTroubleWords[outcome] } };
  } catch (error) {
    return { errors: formTrouble(error, { field: "startedAt" }).errors };
  }
}

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
