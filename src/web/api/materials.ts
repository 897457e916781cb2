// Lamps, supports, coatings and films over HTTP: resources of one shape, and the stock solutions on the shelf with them.
import { Router } from "express";
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import type { MaterialTable } from "#src/store/materials.ts";
import type { Tools } from "#src/studio/tools.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { sayVersion, seenVersionOf } from "#src/web/seen-version.ts";
import { jsonBody } from "./json-body.ts";

const listQuerySchema = z.object({ archived: z.enum(["true", "false"]).default("false") });

export function materialRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  addRoutes(router, "/api/lamps", store.lamps, lampInputSchema);
  addRoutes(router, "/api/supports", store.supports, supportInputSchema);
  addRoutes(router, "/api/coatings", store.coatings, coatingInputSchema);
  addRoutes(router, "/api/films", store.films, filmInputSchema);
  addRoutes(router, "/api/stocks", store.stocks, stockInputSchema);
  return router;
}

function addRoutes<Material extends { readonly id: string; readonly updatedAt: string }, Input>(
  router: Router,
  path: string,
  table: Omit<MaterialTable<Material, Input>, "countTests">,
  schema: z.ZodType<Input>,
): void {
  router.get(path, (request, response) => {
    const { archived } = listQuerySchema.parse(request.query);
    response.json(table.list({ archived: archived === "true" }));
  });
  router.post(path, (request, response) => {
    const material = table.create(schema.parse(jsonBody(request)));
    response.status(201).location(`${path}/${material.id}`).json(material);
  });
  router.get(`${path}/:id`, (request, response) => {
    const material = table.get(request.params.id);
    sayVersion(response, material);
    response.json(material);
  });
  router.patch(`${path}/:id`, (request, response) => {
    const { id } = request.params;
    const changes = jsonBody(request);
    const before = table.get(id);
    refuseIfChanged(seenVersionOf(request, changes), before, changes);
    const material = table.replace(id, schema.parse({ ...before, ...changes }));
    sayVersion(response, material);
    response.json(material);
  });
  router.delete(`${path}/:id`, (request, response) => {
    table.remove(request.params.id);
    response.status(204).end();
  });
}
