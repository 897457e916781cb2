// The list of negatives made, over HTTP.
import express, { Router } from "express";
import { changeMadeNegative, forgetMadeNegative } from "#src/studio/negatives/change-made-negative.ts";
import type { Tools } from "#src/studio/tools.ts";

export function madeNegativeRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/made-negatives", (_request, response) => {
    response.json({ negatives: store.madeNegatives.list() });
  });
  router.get("/api/made-negatives/:id", (request, response) => {
    response.json(store.madeNegatives.get(request.params.id));
  });
  router.patch("/api/made-negatives/:id", express.json({ limit: 50_000 }), (request, response) => {
    response.json(changeMadeNegative({ store }, request.params.id, request.body));
  });
  router.delete("/api/made-negatives/:id", (request, response) => {
    forgetMadeNegative({ store }, request.params.id);
    response.status(204).end();
  });
  return router;
}
