// The wedge sheet: its options and its file; and how straight a check sheet came out.
import { Router, type Request } from "express";
import { checkSheet } from "#src/studio/negatives/check-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { formValuesFrom } from "#src/web/parts/form-values.ts";
import { inkPageRoutes } from "./ink-routes.ts";
import { sheetOptionsFrom } from "./form.ts";
import { sheetCheckView, sheetFormView } from "./view.ts";

export function sheetPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.use(inkPageRoutes(tools));

  router.get("/sheets", (request, response) => {
    const asked = formValuesFrom(request.query);
    const { options } = sheetOptionsFrom(asked);
    renderPage(
      response,
      "sheets/make",
      { title: "The wedge sheet", here: "sheets", status: options === null ? 400 : 200 },
      sheetFormView(store, asked),
    );
  });

  router.get("/tests/:id/sheet-check", (request: Request<{ id: string }>, response) => {
    renderPage(
      response,
      "sheets/check",
      { title: "How straight the print came out", here: "sheets" },
      sheetCheckView(checkSheet(tools, request.params.id)),
    );
  });
  return router;
}
