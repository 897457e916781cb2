// The report of one test, to print or keep.
import { Router } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { makeTestReport } from "#src/studio/paper-records.ts";
import type { Tools } from "#src/studio/tools.ts";
import { resultView } from "./view.ts";
import { testTitle } from "./card.ts";

/** The report's largest line. */
function headline({ time, next, hasCorrection }: ReturnType<typeof resultView>): string {
  if (time !== null) return `Expose for ${time.shown}`;
  if (hasCorrection) return "Tones for the next negative";
  return next === null ? "No time from this test" : `Next test: ${next.shown}`;
}

export function reportRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.get("/tests/:id/report.pdf", async (request, response) => {
    const test = store.tests.get(request.params.id);
    const view = resultView(store, test);
    const pdf = await makeTestReport(tools, test.id, {
      title: testTitle(store, test),
      materials: view.invented ? `${view.materials} (invented sample)` : view.materials,
      time: headline(view),
      range:
        view.range === null
          ? (view.oneSided ?? "")
          : `with 95 % confidence between ${view.range.lower.shown} and ${view.range.upper.shown}. ${view.conditionsOfTime}`,
      verdict: view.verdict.word,
      reasons: view.reasons,
      warnings: view.warnings.map(({ message }) => message),
      conditions: view.conditions,
      inputLabel: view.stepTable.inputLabel,
      steps: view.stepTable.rows.map((row) => [
        String(row.index),
        row.input,
        row.red,
        row.sigma,
        row.visual,
        row.lightness,
        row.flags,
      ]),
      footing: `Printed on ${formatDay(new Date().toISOString())}. Densities are above the unexposed paper; the red channel is that of a camera or scanner in linear light, not a densitometer's. Follow the supplier's safety data sheets, local rules and your studio's responsible person.`,
    });
    response.type("pdf").set("content-disposition", 'inline; filename="test-report.pdf"').send(Buffer.from(pdf));
  });
  return router;
}
