// Tone curves that are kept: the list of versions, and the page on which one is blended, moved by hand, and kept.
import express, { Router, type Response } from "express";
import { keepCurveSchema } from "#shared/schema/kept-curve.ts";
import { drawCurve, forgetCurve, keepCurve } from "#src/studio/negatives/keep-curve.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { curveInput, curvePageView, curvesView } from "./view.ts";

export function curvePageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: 100_000 });

  router.get("/curves", (_request, response) => {
    renderPage(response, "curves/list", { title: "Kept curves", here: "curves" }, curvesView(store));
  });

  /** The page with the curve as the fields make it; with errors, as the test's own. */
  function show(response: Response, values: FormValues, errors: FieldErrors = {}): void {
    const typed = keepCurveSchema.safeParse(curveInput(values));
    const asked = typed.success ? typed.data : keepCurveSchema.parse({ testId: textOf(values, "testId") });
    const found = typed.success ? errors : { ...formTrouble(typed.error).errors, ...errors };
    renderPage(
      response,
      "curves/edit",
      {
        title: "Keep a curve",
        here: "curves",
        scripts: ["curve-edit"],
        status: Object.keys(found).length > 0 ? 400 : 200,
      },
      curvePageView(store, { values, errors: found, asked, drawn: drawCurve({ store }, asked) }),
    );
  }

  router.get("/curves/new", (request, response) => {
    const values = formValuesFrom(request.query);
    if (store.tests.find(textOf(values, "testId")) === undefined) response.redirect(303, "/curves");
    else show(response, values);
  });
  router.post("/curves", form, (request, response) => {
    const values = formValuesFrom(request.body);
    try {
      keepCurve({ store }, curveInput(values));
      response.redirect(303, "/curves");
    } catch (error) {
      show(response, values, formTrouble(error, { field: "name" }).errors);
    }
  });
  router.post("/curves/:id/delete", form, (request, response) => {
    forgetCurve({ store }, String(request.params["id"]));
    response.redirect(303, "/curves");
  });
  return router;
}
