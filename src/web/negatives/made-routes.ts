// Negatives that were made: their pages and what can still be said of them.
import express, { Router } from "express";
import { changeMadeNegative, forgetMadeNegative } from "#src/studio/negatives/change-made-negative.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { madeView } from "./made-view.ts";

export function madeNegativePageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: 50_000 });
  router.get("/negatives/made/:id", (request, response) => {
    const view = madeView(store, store.madeNegatives.get(request.params.id));
    renderPage(response, "negatives/made", { title: view.title, here: "negatives" }, view);
  });
  router.post("/negatives/made/:id", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const { id } = changeMadeNegative({ store }, request.params.id, {
      settingsName: textOf(values, "settingsName"),
      notes: textOf(values, "notes"),
    });
    response.redirect(303, `/negatives/made/${id}`);
  });
  router.post("/negatives/made/:id/forget", form, (request, response) => {
    forgetMadeNegative({ store }, request.params.id);
    response.redirect(303, "/negatives");
  });
  return router;
}
