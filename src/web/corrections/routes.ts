// The tone curve of a test as a page.
import { Router } from "express";
import { targetText } from "#shared/correction/target-text.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { correctionOfTest } from "#src/studio/negatives/correct.ts";
import { keepMeasuredFilm } from "#src/studio/materials/measure-film.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { correctionView } from "./view.ts";

export function correctionPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/tests/:id/correction", (request, response) => {
    const { id } = request.params;
    // The form for toned prints names two tests, which are one target in an address.
    const { tonedTestId, plainTestId } = formValuesFrom(request.query);
    if (tonedTestId !== undefined && plainTestId !== undefined) {
      const target = targetText({ tonedTestId, plainTestId });
      response.redirect(303, `/tests/${id}/correction?${new URLSearchParams({ target })}`);
      return;
    }
    const {
      target,
      pointsTool,
      pointsWithin,
      levels: _count,
      space: _space,
      ...use
    } = correctionQuerySchema.parse(request.query);
    const points = { tool: pointsTool, withinLevels: pointsWithin };
    const made = correctionOfTest({ store }, { testId: id, target, use, points });
    const { testName } = made.calibration;
    renderPage(
      response,
      "corrections/show",
      { title: testName === "" ? "Tone curve" : `Tone curve: ${testName}`, here: "negatives" },
      correctionView(store, made, { target, points }),
    );
  });
  router.post("/tests/:id/correction/film", (request, response) => {
    const { id } = request.params;
    const film = keepMeasuredFilm({ store }, id);
    response.redirect(303, film === null ? `/tests/${id}/correction` : `/materials/films/${film.id}`);
  });
  return router;
}
