// Exposures under the sun, and the anchors kept for them, over HTTP.
import { Router } from "express";
import { sunAnchorInputSchema, sunExposureRequestSchema } from "#shared/schema/sun.ts";
import { forgetSunAnchor } from "#src/studio/sun/forget-sun-anchor.ts";
import { keepSunAnchor } from "#src/studio/sun/keep-sun-anchor.ts";
import { planSunExposure } from "#src/studio/sun/plan-sun-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonBody } from "./json-body.ts";

export function sunRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.post("/api/sun/exposures", (request, response) => {
    response.json(planSunExposure({ store }, sunExposureRequestSchema.parse(jsonBody(request))));
  });
  router.get("/api/sun/anchors", (_request, response) => {
    response.json(store.sunAnchors.list());
  });
  router.post("/api/sun/anchors", (request, response) => {
    const anchor = keepSunAnchor({ store }, sunAnchorInputSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/sun/anchors/${anchor.id}`).json(anchor);
  });
  router.get("/api/sun/anchors/:id", (request, response) => {
    response.json(store.sunAnchors.get(request.params.id));
  });
  router.delete("/api/sun/anchors/:id", (request, response) => {
    forgetSunAnchor({ store }, request.params.id);
    response.status(204).end();
  });
  return router;
}
