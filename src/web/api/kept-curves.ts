// Tone curves that are kept, over HTTP.
import { Router } from "express";
import { forgetCurve, keepCurve } from "#src/studio/negatives/keep-curve.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonBody } from "./json-body.ts";

export function keptCurveRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/curves", (_request, response) => {
    response.json(store.keptCurves.list());
  });
  router.post("/api/curves", (request, response) => {
    const curve = keepCurve({ store }, jsonBody(request));
    response.status(201).location(`/api/curves/${curve.id}`).json(curve);
  });
  router.get("/api/curves/:id", (request, response) => {
    response.json(store.keptCurves.get(request.params.id));
  });
  router.delete("/api/curves/:id", (request, response) => {
    forgetCurve({ store }, request.params.id);
    response.status(204).end();
  });
  return router;
}
