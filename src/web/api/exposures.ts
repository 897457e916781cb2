// Exposure advice for a combination, and tests side by side.
import { Router } from "express";
import { comparisonRequestSchema } from "#shared/schema/comparisons.ts";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import { compareSavedTests } from "#src/studio/compare-saved-tests.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonBody } from "./json-body.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

export function exposureRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  router.get("/api/exposures", modelReady(tools), (request, response) => {
    response.json(lookUpExposure(tools, exposureQuerySchema.parse(request.query)));
  });
  router.post("/api/comparisons", modelReady(tools), (request, response) => {
    response.json(compareSavedTests(tools, comparisonRequestSchema.parse(jsonBody(request))));
  });
  return router;
}
