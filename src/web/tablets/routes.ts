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
import { followedFrom, tabletsView, type SentTablet } from "./view.ts";

const maxFormBytes = 100_000;

export function tabletPageRoutes(tools: Pick<Tools, "store" | "assessThread">): Router {
  const { store } = tools;
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
  async function orShow(response: Response, sent: SentTablet, work: () => Promise<void> | void): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (error instanceof InputError && error.code === "not-found") throw error;
      const words = sent.calibrating === undefined ? { field: "densities" } : calibrationWords;
      show(response, { ...sent, errors: formTrouble(error, words).errors });
    }
  }

  router.get("/tablets", (request, response) => {
    show(response, { followed: followedFrom(request.query) });
  });
  router.post("/tablets", form, async (request, response) => {
    const values = formValuesFrom(request.body);
    await orShow(response, { values }, () => {
      const densities = numberListOf(textOf(values, "densities"));
      addTablet({ store }, { name: textOf(values, "name"), densities, isMeasured: isTicked(values, "isMeasured") });
      response.redirect(303, "/tablets");
    });
  });
  router.post("/tablets/:id/calibrations", form, async (request, response) => {
    const values = formValuesFrom(request.body);
    const id = String(request.params["id"]);
    await orShow(response, { values, calibrating: id }, async () => {
      const { testIds } = await calibrateTablet(tools, id, tabletCalibrationSchema.parse(calibrationFrom(values)));
      const said = new URLSearchParams({ calibrated: id, tests: String(testIds.length) });
      response.redirect(303, `/tablets?${said.toString()}#tablet-${id}`);
    });
  });
  router.post("/tablets/:id/delete", form, (request, response) => {
    deleteMaterial({ store }, "tablets", String(request.params["id"]));
    response.redirect(303, "/tablets");
  });
  return router;
}
