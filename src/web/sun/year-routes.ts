// The year of one print at one place.
import { Router } from "express";
import { renderPage } from "#src/web/parts/render.ts";
import { sunQuery, type Planned } from "./form.ts";
import { yearView } from "./year-view.ts";

export function yearPageRoutes({ planned }: { planned(fields: unknown): Planned }): Router {
  const router = Router();
  router.get("/sun/year", (request, response) => {
    const asked = planned(request.query);
    const year = Number((asked.answer?.startAt ?? new Date().toISOString()).slice(0, 4));
    renderPage(
      response,
      "sun/year",
      { title: "The year in the sun", here: "sun" },
      { year: yearView(asked, year), plannerHref: `/sun?${sunQuery(asked.form)}` },
    );
  });
  return router;
}
