// The report of one test, to print or keep.
import type { AnswerView } from "#src/web/parts/answer-view.ts";
import { Router } from "express";
import { formatDay } from "#shared/format/instant.ts";
import { curveOfReport } from "#src/web/corrections/report-part.ts";
import { makeTestReport } from "#src/studio/paper-records.ts";
import { standingAmongTests } from "#src/studio/tests/standing-among-tests.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";
import type { Tools } from "#src/studio/tools.ts";
import { resultView } from "./view.ts";
import { testTitle } from "./title.ts";

/** The report's largest line. */
function headline({ state, badge, label, time, about }: AnswerView): string {
  if (time === null) return about === null ? label : `${badge ?? ""}: about ${about}`;
  return state === "test-time" ? `TEST: expose the next test for ${time.shown}` : `${label} ${time.shown}`;
}

function rangeLine({ range, calibration, lines }: AnswerView): string {
  const ends = range === null ? [] : [`${range.lower.shown} to ${range.upper.shown}, ${range.of}.`];
  return [...ends, ...(calibration === null ? [] : [calibration]), ...lines].join(" ");
}

export function reportRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.get("/tests/:id/report.pdf", modelReady(tools), async (request, response) => {
    const test = store.tests.get(String(request.params["id"]));
    const view = resultView(store, test, standingAmongTests(tools, test));
    const { standing } = view;
    const curve = curveOfReport(store, test);
    const pdf = await makeTestReport(tools, test.id, {
      title: testTitle(store, test),
      materials: view.invented ? `${view.materials} (invented sample)` : view.materials,
      time: headline(view.answer),
      range: rangeLine(view.answer),
      verdict: view.verdict.word,
      reasons: [...(standing.together === null ? [] : [standing.together]), ...view.reasons],
      warnings: [...standing.notices.map(({ text }) => text), ...view.warnings.map(({ message }) => message)],
      conditions: [
        ...view.conditions,
        ...(curve === null ? [] : [{ term: "To type into a curve tool, picture to film", value: curve.points }]),
      ],
      plot: curve?.plot ?? view.plot,
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
      footing:
        `Printed on ${formatDay(new Date().toISOString())}. Densities are above the bare paper; the red ` +
        "channel is that of a camera or scanner in linear light, not a densitometer's. Follow the supplier's safety " +
        "data sheets, local rules and your studio's responsible person.",
    });
    response.type("pdf").set("content-disposition", 'inline; filename="test-report.pdf"').send(Buffer.from(pdf));
  });
  return router;
}
