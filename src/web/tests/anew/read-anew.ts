// Reads a saved test anew by one press: with another count of steps, or as taken by a scanner or a camera.
import express, { Router } from "express";
import { takenBySchema } from "#shared/schema/reading.ts";
import { readAsOtherCount } from "#src/studio/tests/read-as-other-count.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, textOf } from "#src/web/parts/form-values.ts";

/** Forms of one short field. */
const mostFormBytes = 1000;

/** Routes of the result's buttons that read its picture anew. */
export function readAnewRoutes(tools: Tools): Router {
  const router = Router();
  const form = express.urlencoded({ extended: false, limit: mostFormBytes });

  router.post("/tests/:id/count", form, async (request, response) => {
    const { id } = tools.store.tests.get(String(request.params["id"]));
    await readAsOtherCount(tools, id);
    response.redirect(303, `/tests/${id}`);
  });

  router.post("/tests/:id/taken-by", form, async (request, response) => {
    const { id } = tools.store.tests.get(String(request.params["id"]));
    const takenBy = takenBySchema.parse(textOf(formValuesFrom(request.body), "takenBy"));
    await rereadTest(tools, id, { takenBy });
    response.redirect(303, `/tests/${id}#picture`);
  });

  return router;
}
