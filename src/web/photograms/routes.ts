// Photograms: how long a half-transparent thing wants, from the step of a tablet that its image matches.
import { Router } from "express";
import type { PhotogramAnswer } from "#shared/schema/photogram.ts";
import { photogramTroubleWords } from "#shared/words/sun/photogram-words.ts";
import { readPhotogram, type PhotogramTrouble } from "#src/studio/negatives/read-photogram.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { SunConditions } from "#shared/schema/test.ts";
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
import { photogramPhotoRoutes } from "./photo-routes.ts";
import { answerView, startOf } from "./view.ts";
import { hasCurve, newestCards, offeredTests } from "#src/web/tests/card.ts";

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
    const offered = newestCards(store, { limit: offeredTests }, hasCurve);
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
