// The way to the next negative: sheet, reading, curve, and the form that makes it.
import { Router, type Response } from "express";
import { negativeRequestFromForm } from "#shared/correction/negative-form.ts";
import { InputError } from "#shared/errors.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { makeNegative } from "#src/studio/negatives/make-negative.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveToDisk } from "#src/web/upload-to-disk.ts";
import { dated, photoOf, sendNegative } from "./answer.ts";
import { negativePage, pageCurve, toneTests } from "./view.ts";

export function negativePageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  router.get("/negatives", (_request, response) => {
    renderPage(
      response,
      "negatives/list",
      { title: "The next negative", here: "negatives" },
      { tests: toneTests(store) },
    );
  });

  function showForm(
    response: Response,
    values: FormValues,
    errors: FieldErrors,
    problem: string | null,
    status: number,
  ): void {
    const tests = toneTests(store);
    const chosen = tests.find((test) => test.id === textOf(values, "testId")) ?? tests[0];
    if (chosen === undefined) {
      response.redirect(303, "/negatives");
      return;
    }
    const { view, data } = negativePage(store, { tests, chosen, values, errors, problem });
    renderPage(
      response,
      "negatives/new",
      { title: "Make a negative", here: "negatives", scripts: ["negative"], data, status },
      view,
    );
  }

  router.get("/negatives/new", (request, response) => {
    const values = formValuesFrom(request.query);
    const target = correctionQuerySchema.shape.target.safeParse(values["target"] ?? "lightness");
    const errors: FieldErrors = target.success ? {} : { target: "This scale cannot be read: choose one here." };
    showForm(response, target.success ? values : { ...values, target: "" }, errors, null, target.success ? 200 : 400);
  });

  /** Another test was chosen: its curve and colours for the preview. */
  router.get("/negatives/curves/:id", (request, response) => {
    const curve = pageCurve(store, request.params.id, String(request.query["target"] ?? "lightness"));
    if (curve === null) throw new InputError("no-correction", "This test gives no tone curve: choose another.");
    response.json(curve);
  });

  router.post("/negatives", async (request, response) => {
    const upload = await receiveToDisk(request, response);
    // An absent tick box is a box without a tick.
    const values: FormValues = { registrationMarks: "", caption: "", invert: "", mirror: "", ...upload.fields };
    const parsed = negativeRequestSchema.safeParse(negativeRequestFromForm(values));
    if (!parsed.success) {
      const errors: FieldErrors = {};
      for (const issue of parsed.error.issues) errors[String(issue.path[0] ?? "widthMm")] ??= issue.message;
      showForm(response, values, errors, null, 400);
      return;
    }
    try {
      sendNegative(
        response,
        await makeNegative(tools, {
          request: dated(parsed.data),
          file: photoOf(upload),
          workFolder: upload.folder,
          signal: closingSignal(response),
        }),
      );
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      showForm(
        response,
        values,
        error.field === undefined ? {} : { [error.field]: error.detail },
        error.detail,
        problemFrom(error).status,
      );
    }
  });
  return router;
}
