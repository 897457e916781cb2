// Labels: which bottles, coatings, prints and strips, and how the sheet is cut; then the sheet as a PDF.
import { Router, type Response } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { labelsRequestSchema } from "#shared/schema/stocks.ts";
import { makeLabels } from "#src/studio/materials/make-labels.ts";
import type { Tools } from "#src/studio/tools.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textsOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";

/** Prints and strips offered. */
const newestPrints = 20;
const labels = {
  copies: "The number of copies",
  columns: "The number of columns",
  rows: "The number of rows",
  skip: "The number of places",
  hazards: "The hazard words",
  others: "What is on the labels",
};

export function labelsPageRoutes(tools: Pick<Tools, "store">): Router {
  const { store } = tools;
  const router = Router();

  function showLabels(response: Response, asked: unknown, errors: FieldErrors, status: number): void {
    const values: FormValues = formValuesFrom(asked);
    const group = (field: string, legend: string, items: readonly { id: string; label: string }[]) => ({
      field,
      legend,
      items: items.map((item) => ({ ...item, isChosen: textsOf(asked, field).includes(item.id) })),
    });
    const groups = [
      group(
        "stocks",
        "Bottles",
        store.stocks.list().map(({ id, name, madeOn }) => ({ id, label: `${name}, ${formatDay(madeOn)}` })),
      ),
      group(
        "coatings",
        "Coatings",
        store.coatings.list().map(({ id, name }) => ({ id, label: name })),
      ),
      group(
        "prints",
        "Prints, newest first",
        store.prints
          .list({ limit: newestPrints })
          .prints.map(({ id, name, createdAt }) => ({ id, label: `${name || "Print"}, ${formatDay(createdAt)}` })),
      ),
      group(
        "tests",
        "Strips of tests, newest first",
        store.tests
          .list({ limit: newestPrints })
          .tests.map(({ id, name, madeAt }) => ({ id, label: `${name || "Test"}, ${formatDay(madeAt)}` })),
      ),
    ];
    renderPage(
      response,
      "studio/labels",
      { title: "Labels", here: "studio", status },
      { groups: groups.filter(({ items }) => items.length > 0), values, errors, summary: errorSummary(errors, []) },
    );
  }

  router.get("/studio/labels", (request, response) => {
    showLabels(response, request.query, {}, 200);
  });

  router.get("/studio/labels.pdf", async (request, response) => {
    try {
      const pdf = await makeLabels(tools, labelsRequestSchema.parse(request.query));
      response.type("pdf").set("content-disposition", 'inline; filename="labels.pdf"').send(Buffer.from(pdf));
    } catch (error) {
      const { errors, status } = formTrouble(error, { labels });
      if (status >= 500 || status === 404) throw error;
      showLabels(response, request.query, errors, status);
    }
  });
  return router;
}
