// Before the first test: which tablet, how it is laid, how long, and the list to print.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { makeFirstTestSheet } from "#src/studio/paper-records.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { firstTestSheetOf, firstTestView } from "./view.ts";

export function firstTestRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/first-test", (request, response) => {
    const view = firstTestView(store, formValuesFrom(request.query), Date.now());
    const frame = { title: "Before the first test", here: "first-test", status: view.summary === null ? 200 : 400 };
    renderPage(response, "first-test/show", frame, view);
  });
  router.get("/first-test.pdf", async (request, response) => {
    const sheet = firstTestSheetOf(store, formValuesFrom(request.query), Date.now());
    if (sheet === null) throw new InputError("not-found", "There is no time to print; the page says why.");
    const pdf = await makeFirstTestSheet(sheet);
    response.type("pdf").set("content-disposition", 'inline; filename="first-test.pdf"').send(Buffer.from(pdf));
  });
  return router;
}
