// Step tablets of the studio: typed once, calibrated once in its own light.
import express, { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { tabletCalibrationSchema } from "#shared/schema/tablets.ts";
import { deleteMaterial } from "#src/studio/safekeeping/bin.ts";
import { calibrateTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { addTablet } from "#src/studio/materials/keep-tablet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, isTicked, numberListOf, textOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { calibrationFrom, calibrationWords } from "./form.ts";
import { tabletsView, type SentTablet } from "./view.ts";

const maxFormBytes = 100_000;

export function tabletPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function show(response: Response, sent: SentTablet = {}): void {
    renderPage(
      response,
      "tablets/list",
      { title: "Tablets", here: "tablets", status: sent.errors === undefined ? 200 : 400 },
      tabletsView(store, sent),
    );
  }

  /** Runs the work; trouble with what was typed goes back to the form. */
  function orShow(response: Response, sent: SentTablet, work: () => void): void {
    try {
      work();
    } catch (error) {
      if (error instanceof InputError && error.code === "not-found") throw error;
      const words = sent.calibrating === undefined ? { field: "densities" } : calibrationWords;
      show(response, { ...sent, errors: formTrouble(error, words).errors });
    }
  }

  router.get("/tablets", (_request, response) => show(response));
  router.post("/tablets", form, (request, response) => {
    const values = formValuesFrom(request.body);
    orShow(response, { values }, () => {
      const densities = numberListOf(textOf(values, "densities"));
      addTablet({ store }, { name: textOf(values, "name"), densities, isMeasured: isTicked(values, "isMeasured") });
      response.redirect(303, "/tablets");
    });
  });
  router.post("/tablets/:id/calibrations", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const id = String(request.params["id"]);
    orShow(response, { values, calibrating: id }, () => {
      calibrateTablet({ store }, id, tabletCalibrationSchema.parse(calibrationFrom(values)));
      response.redirect(303, "/tablets");
    });
  });
  router.post("/tablets/:id/delete", form, (request, response) => {
    deleteMaterial({ store }, "tablets", String(request.params["id"]));
    response.redirect(303, "/tablets");
  });
  return router;
}
