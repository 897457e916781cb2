// Bottles and recipes: stock solutions with their age, recipes scaled to a volume, and each coating as a batch.
import express, { Router, type Response } from "express";
import { addBatch, changeCoating, useUpBatch } from "#src/studio/materials/keep-batch.ts";
import { addStock, archiveStock } from "#src/studio/materials/keep-stock.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, isTicked, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { batchFrom, batchWords } from "./batches.ts";
import { coatingChangesFrom, coatingWords } from "./coating-form.ts";
import { coatingView, shelfView, type CoatingParts } from "./shelf-view.ts";

const maxFormBytes = 100_000;
const stockLabels = { name: "The name", madeOn: "The day", grade: "The grade", lot: "The lot" };
const now = (): string => new Date().toISOString();

export function shelfPageRoutes(tools: Pick<Tools, "store">): Router {
  const { store } = tools;
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function showShelf(response: Response, values: FormValues, errors: FieldErrors, status: number): void {
    renderPage(
      response,
      "studio/shelf",
      { title: "Bottles and recipes", here: "studio", status },
      shelfView(store, { values, errors, now: now() }),
    );
  }

  router.get("/studio/shelf", (request, response) => {
    showShelf(response, formValuesFrom(request.query), {}, 200);
  });
  router.post("/studio/shelf", form, (request, response) => {
    const values = formValuesFrom(request.body);
    try {
      addStock(tools, {
        name: textOf(values, "name"),
        madeOn: textOf(values, "madeOn"),
        grade: textOf(values, "grade"),
        lot: textOf(values, "lot"),
      });
      response.redirect(303, "/studio/shelf");
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "name", labels: stockLabels });
      showShelf(response, values, errors, status);
    }
  });
  router.post("/studio/shelf/:id/archive", form, (request, response) => {
    archiveStock(tools, String(request.params["id"]));
    response.redirect(303, "/studio/shelf");
  });

  function showCoating(
    response: Response,
    id: string,
    sent: Pick<CoatingParts, "query" | "values" | "newBatch" | "errors">,
    status: number,
  ): void {
    renderPage(
      response,
      "studio/coating",
      { title: store.coatings.get(id).name, here: "studio", status },
      coatingView(store, { id, now: now(), ...sent }),
    );
  }

  router.get("/studio/coatings/:id", (request, response) => {
    showCoating(response, request.params.id, { query: formValuesFrom(request.query) }, 200);
  });
  router.post("/studio/coatings/:id/batches", form, (request, response) => {
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    try {
      addBatch(tools, id, batchFrom(store, values));
      response.redirect(303, `/studio/coatings/${id}`);
    } catch (error) {
      const { errors, status } = formTrouble(error, batchWords);
      if (status === 404) throw error;
      showCoating(response, id, { query: {}, newBatch: values, errors }, status);
    }
  });
  router.post("/studio/coatings/:id/batches/:batchId", form, (request, response) => {
    const [coatingId, batchId] = [String(request.params["id"]), String(request.params["batchId"])];
    useUpBatch(tools, { coatingId, batchId, isUsedUp: textOf(formValuesFrom(request.body), "usedUp") === "yes" });
    response.redirect(303, `/studio/coatings/${coatingId}`);
  });
  router.post("/studio/coatings/:id", form, (request, response) => {
    const id = String(request.params["id"]);
    const values = formValuesFrom(request.body);
    const stockIds = store.stocks
      .list({ archived: true })
      .map((stock) => stock.id)
      .filter((stockId) => isTicked(values, `stock-${stockId}`));
    try {
      changeCoating(tools, id, coatingChangesFrom(values, stockIds));
      response.redirect(303, `/studio/coatings/${id}`);
    } catch (error) {
      const { errors, status } = formTrouble(error, coatingWords);
      showCoating(response, id, { values, errors }, status);
    }
  });
  return router;
}
