// The film measured by its print, over HTTP.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { filmOfTest } from "#src/studio/materials/measure-film.ts";
import type { Tools } from "#src/studio/tools.ts";

export function filmMeasurementRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/tests/:id/film", (request, response) => {
    const film = filmOfTest(tools, request.params.id);
    if (film === null) {
      throw new InputError(
        "no-correction",
        "The film cannot be measured from this test: it takes a strip of grey levels or a wedge sheet with its " +
          "exposure time, and a tablet test with a curve of the same light, paper and coating at the same distance.",
      );
    }
    response.json(film);
  });
  return router;
}
