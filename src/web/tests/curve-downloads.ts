// The curve to take away: as a drawing, as a picture, as a table.
import { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import type { Curve } from "#shared/schema/curve.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { paintDrawing } from "#src/studio/paint-plot.ts";
import { curveTable } from "#src/studio/tests/curve-files.ts";
import type { Tools } from "#src/studio/tools.ts";
import { aloneStyle, asFile, drawn } from "#src/web/parts/drawing.ts";
import { testTitle } from "./title.ts";
import { curveFigure } from "./curve-figure.ts";

function curveOf({ curve }: SavedTest): Curve {
  if (curve === null || curve.samples.length === 0)
    throw new InputError("not-found", "This test has no curve; its page says why.");
  return curve;
}

/** The wide drawing with its colours written into it. */
function drawingAlone(response: Response, test: SavedTest): Promise<string> {
  const figure = curveFigure(curveOf(test), test.exposure, test.reading, null);
  const drawing = { ...figure?.drawings[0], style: aloneStyle };
  return drawn(response.app, "tests/_curve-drawing", { drawing, strip: null, figure, isAlone: true });
}

export function curveDownloadRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const named = (response: Response, test: SavedTest, ending: string): Response =>
    asFile(response, ["curve", testTitle(store, test)], ending);

  router.get("/tests/:id/curve.csv", (request, response) => {
    const test = store.tests.get(request.params.id);
    named(response, test, "csv").send(curveTable(curveOf(test)));
  });
  router.get("/tests/:id/curve.svg", async (request, response) => {
    const test = store.tests.get(request.params.id);
    const svg = await drawingAlone(response, test);
    named(response, test, "svg").send(svg);
  });
  router.get("/tests/:id/curve.png", async (request, response) => {
    const test = store.tests.get(request.params.id);
    const png = await paintDrawing(tools, await drawingAlone(response, test));
    named(response, test, "png").send(Buffer.from(png));
  });
  return router;
}
