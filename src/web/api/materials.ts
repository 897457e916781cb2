// Lamps, supports, coatings and films over HTTP: resources of one shape, and the stock solutions on the shelf with them.
import { Router } from "express";
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import type { MaterialTable } from "#src/store/materials.ts";
import type { Tools } from "#src/studio/tools.ts";
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

function addRoutes<Material extends object, Input>(
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
    response
      .status(201)
      .location(`${path}/${"id" in material ? String(material.id) : ""}`)
      .json(material);
  });
  router.get(`${path}/:id`, (request, response) => {
    response.json(table.get(request.params.id));
  });
  router.patch(`${path}/:id`, (request, response) => {
    const { id } = request.params;
    const changes = jsonBody(request);
    response.json(table.replace(id, schema.parse({ ...table.get(id), ...changes })));
  });
  router.delete(`${path}/:id`, (request, response) => {
    table.remove(request.params.id);
    response.status(204).end();
  });
}
