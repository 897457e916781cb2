// Lamps, supports, coatings and films over HTTP: resources of one shape, and the stock solutions and step tablets on the shelf with them.
import { Router } from "express";
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import type { FilmInput, MaterialKind } from "#shared/schema/materials.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import { tabletCalibrationSchema, tabletInputSchema } from "#shared/schema/tablets.ts";
import { calibrateTablet } from "#src/studio/calibrate-tablet.ts";
import type { MaterialTable } from "#src/store/materials.ts";
import { changeFilm } from "#src/studio/change-film.ts";
import type { Tools } from "#src/studio/tools.ts";
import { deleteMaterial } from "#src/studio/bin.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { sayVersion, seenVersionOf } from "#src/web/seen-version.ts";
import { jsonBody } from "./json-body.ts";

const listQuerySchema = z.object({ archived: z.enum(["true", "false"]).default("false") });

export function materialRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();
  addRoutes(router, { store, kind: "lamps", table: store.lamps, schema: lampInputSchema });
  addRoutes(router, { store, kind: "supports", table: store.supports, schema: supportInputSchema });
  addRoutes(router, { store, kind: "coatings", table: store.coatings, schema: coatingInputSchema });
  const films = { ...store.films, replace: (id: string, input: FilmInput) => changeFilm({ store }, id, input) };
  addRoutes(router, { store, kind: "films", table: films, schema: filmInputSchema });
  addRoutes(router, { store, kind: "stocks", table: store.stocks, schema: stockInputSchema });
  addRoutes(router, { store, kind: "tablets", table: store.tablets, schema: tabletInputSchema });
  router.get("/api/tablets/:id/in-light", (request, response) => {
    response.json(tabletForRequest(store.tablets.get(request.params.id)));
  });
  router.post("/api/tablets/:id/calibrations", (request, response) => {
    const calibration = tabletCalibrationSchema.parse(jsonBody(request));
    const answer = calibrateTablet({ store }, request.params.id, calibration);
    response.status(201).json(answer);
  });
  return router;
}

function addRoutes<Material extends { readonly id: string; readonly updatedAt: string }, Input>(
  router: Router,
  {
    store,
    kind,
    table,
    schema,
  }: {
    store: Tools["store"];
    kind: MaterialKind | "stocks" | "tablets";
    table: Omit<MaterialTable<Material, Input>, "countTests">;
    schema: z.ZodType<Input>;
  },
): void {
  const path = `/api/${kind}`;
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
    deleteMaterial({ store }, kind, request.params.id);
    response.status(204).end();
  });
}
