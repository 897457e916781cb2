// Cloth over HTTP: what prints on it take, and what it shrank by.
import { Router } from "express";
import { clothPlanQuerySchema, shrinkageRequestSchema } from "#shared/schema/workshop/cloth.ts";
import { keepShrinkage, planCloth } from "#src/studio/cloth/plan-cloth.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonBody } from "./json-body.ts";

export function clothRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/supports/:id/cloth", (request, response) => {
    response.json(planCloth(tools, request.params.id, clothPlanQuerySchema.parse(request.query)));
  });
  router.post("/api/supports/:id/shrinkage", (request, response) => {
    response.json(keepShrinkage(tools, request.params.id, shrinkageRequestSchema.parse(jsonBody(request))));
  });
  return router;
}
