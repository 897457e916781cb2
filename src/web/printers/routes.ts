// Printers of film: each a thing of its own, with its media setting, resolution, inks, and the films it prints on.
import express, { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { addPrinter, changePrinter, removePrinter } from "#src/studio/materials/keep-printer.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textsOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { printerInput, printersView } from "./view.ts";

const labels: Readonly<Record<string, string>> = { dpi: "The resolution" };

export function printerPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: 100_000 });

  function show(response: Response, sent: { id?: string; values?: FormValues; errors?: FieldErrors } = {}): void {
    renderPage(
      response,
      "printers/list",
      { title: "Film printers", here: "printers", status: sent.errors === undefined ? 200 : 400 },
      printersView(store, sent),
    );
  }

  /** Runs the work; trouble with what was typed goes back to the form. */
  function orShow(response: Response, sent: { id?: string; values: FormValues }, work: () => void): void {
    try {
      work();
      response.redirect(303, "/printers");
    } catch (error) {
      if (error instanceof InputError && error.code === "not-found") throw error;
      show(response, { ...sent, errors: formTrouble(error, { field: "name", labels }).errors });
    }
  }

  router.get("/printers", (_request, response) => show(response));
  router.get("/printers/:id", (request, response) => show(response, { id: store.printers.get(request.params.id).id }));
  router.post("/printers", form, (request, response) => {
    const values = formValuesFrom(request.body);
    orShow(
      response,
      { values },
      () => void addPrinter({ store }, printerInput(values, textsOf(request.body, "filmIds"))),
    );
  });
  router.post("/printers/:id", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const id = String(request.params["id"]);
    orShow(response, { id, values }, () => {
      changePrinter({ store }, id, printerInput(values, textsOf(request.body, "filmIds")), {
        seenVersion: values["version"],
      });
    });
  });
  router.post("/printers/:id/delete", form, (request, response) => {
    removePrinter({ store }, String(request.params["id"]));
    response.redirect(303, "/printers");
  });
  return router;
}
