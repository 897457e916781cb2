// The curve to take away: as a drawing, as a picture, as a table.
import { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { curveTable, paintCurve } from "#src/studio/tests/curve-files.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";
import { testTitle } from "./title.ts";
import { curveFigure } from "./curve-figure.ts";

/** Colours of a drawing that stands alone, on white. */
const aloneStyle =
  "text{font:15px sans-serif;fill:#16233a}.plot-back{fill:#fff}.plot-grid path{stroke:#ddd4c4;fill:none}" +
  ".plot-frame,.plot-tick{stroke:#16233a;fill:none}.plot-line .plot-path{fill:none;stroke:#14407a;stroke-width:2.5}" +
  ".plot-band .plot-path{fill:#14407a;fill-opacity:.18}.plot-error{stroke:#14407a;stroke-width:1.5}" +
  ".plot-marker{fill:#14407a;stroke:#14407a}.plot-marker.left-out{fill:#fff}" +
  ".plot-marks .plot-marker{fill:#fff;stroke:#8a3b12;stroke-width:3}.answer-band{fill:#14407a;fill-opacity:.12}" +
  ".answer-line path{stroke:#16233a;stroke-width:2}.answer-line text{font-weight:600;font-size:19px}";

function curveOf({ curve }: SavedTest): Curve {
  if (curve === null || curve.samples.length === 0)
    throw new InputError("not-found", "This test has no curve; its page says why.");
  return curve;
}

/** The wide drawing with its colours written into it. */
function drawingAlone(response: Response, test: SavedTest): Promise<string> {
  const figure = curveFigure(curveOf(test), test.exposure, test.reading, null);
  const drawing = { ...figure?.drawings[0], style: aloneStyle };
  return new Promise((resolve, reject) => {
    response.app.render(
      "tests/_curve-drawing",
      { drawing, strip: null, figure, isAlone: true },
      (error: Error | null, svg?: string) => {
        if (error === null && svg !== undefined) resolve(svg);
        else reject(error ?? new Error("The drawing could not be made."));
      },
    );
  });
}

export function curveDownloadRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const named = (response: Response, test: SavedTest, ending: string): Response =>
    response.set(
      "content-disposition",
      `attachment; filename="${plainFileName(["curve", testTitle(store, test)])}.${ending}"`,
    );

  router.get("/tests/:id/curve.csv", (request, response) => {
    const test = store.tests.get(request.params.id);
    named(response, test, "csv")
      .type("csv")
      .send(curveTable(curveOf(test)));
  });
  router.get("/tests/:id/curve.svg", async (request, response) => {
    const test = store.tests.get(request.params.id);
    const svg = await drawingAlone(response, test);
    named(response, test, "svg").type("svg").send(svg);
  });
  router.get("/tests/:id/curve.png", async (request, response) => {
    const test = store.tests.get(request.params.id);
    const png = await paintCurve(tools, await drawingAlone(response, test));
    named(response, test, "png").type("png").send(Buffer.from(png));
  });
  return router;
}
