// The log of a year and tables to take away; and what the studio is called.
import express, { Router, type Response } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { studioSchema } from "#shared/schema/workshop/studio-name.ts";
import { nameStudio, studioOf } from "#src/studio/teaching/name-studio.ts";
import { logOfYear, yearsOfLog } from "#src/studio/teaching/year-log.ts";
import type { Tools } from "#src/studio/tools.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";

export function recordsPageRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();

  function showRecords(
    response: Response,
    asked: number | undefined,
    name: string,
    errors: FieldErrors,
    status: number,
  ) {
    const years = yearsOfLog(tools);
    const year = asked !== undefined && years.includes(asked) ? asked : (years[0] ?? new Date().getFullYear());
    renderPage(
      response,
      "teaching/records",
      { title: "Log and tables", here: "studio", status },
      {
        year,
        years: years.map((each) => ({ year: each, href: `/records?year=${each}`, isShown: each === year })),
        rows: logOfYear(tools, year).map(({ day, kind, id, name: title, materials, seconds, outcome, who }) => ({
          day: formatDay(day),
          kind,
          href: kind === "test" ? `/tests/${id}` : `/prints/${id}`,
          name: title || (kind === "test" ? "Test" : "Print"),
          materials: materials.join(", "),
          time: seconds === null ? "" : formatDuration(seconds),
          outcome,
          who,
        })),
        name,
        errors,
        summary: errorSummary(errors, [["name", "studio-name"]]),
      },
    );
  }

  router.get("/records", (request, response) => {
    showRecords(response, numberOf(formValuesFrom(request.query), "year"), studioOf(tools).name, {}, 200);
  });
  router.post("/records/studio", express.urlencoded({ extended: false, limit: "10kb" }), (request, response) => {
    const name = textOf(formValuesFrom(request.body), "name");
    try {
      nameStudio(tools, studioSchema.parse({ name }));
      response.redirect(303, "/records");
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "name", labels: { name: "The name" } });
      if (status >= 500) throw error;
      showRecords(response, undefined, name, errors, status);
    }
  });
  return router;
}
