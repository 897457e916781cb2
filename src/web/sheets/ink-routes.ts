// The ink sheet: its file, and what the photo of its print tells.
import { Router, type Response } from "express";
import { inkReadingRequestSchema } from "#shared/schema/ink.ts";
import { readInkSheet } from "#src/studio/negatives/read-ink-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import {
  formValuesFrom,
  secondsOf,
  textOf,
  textsOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { inkAnswerView, inkPageView, type InkAnswerView } from "./ink-view.ts";

const labels: Readonly<Record<string, string>> = { exposureSeconds: "The time" };

export function inkPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  function show(
    response: Response,
    shown: {
      values: FormValues;
      inks?: readonly string[];
      errors?: FieldErrors;
      answer?: InkAnswerView;
      status?: number;
    },
  ): void {
    const { values, inks = [], errors = {}, answer = null, status = 200 } = shown;
    renderPage(
      response,
      "sheets/inks",
      { title: "Which ink, and how much", here: "sheets", status },
      inkPageView(store, { values, inks, errors, answer }),
    );
  }

  router.get("/sheets/inks", (request, response) => {
    show(response, { values: formValuesFrom(request.query), inks: textsOf(request.query, "inks") });
  });

  router.post("/sheets/inks", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const values = formValuesFrom(upload.fields);
    try {
      const asked = inkReadingRequestSchema.parse({
        curveTestId: textOf(values, "curveTestId") || undefined,
        exposureSeconds: secondsOf(values, "minutes", "seconds"),
      });
      const picture = printPicturesFrom(upload).photos[0] ?? new Uint8Array();
      show(response, { values, answer: inkAnswerView(await readInkSheet(tools, { picture, request: asked })) });
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "photo", labels });
      // A page has no corners to give: the words say how to take the picture again.
      const { corners, ...others } = errors;
      show(response, { values, errors: corners === undefined ? others : { ...others, photo: corners }, status });
    }
  });
  return router;
}
