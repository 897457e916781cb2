// Lamps, supports, coatings and films over HTTP: resources of one shape, and the stock solutions and step tablets on
// the shelf with them.
import { Router } from "express";
import { z } from "zod";
import type { MaterialKind } from "#shared/schema/materials.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { tabletCalibrationSchema } from "#shared/schema/tablets.ts";
import { calibrateTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { deleteMaterial } from "#src/studio/safekeeping/bin.ts";
import { addMaterial, changeMaterial } from "#src/studio/materials/keep-material.ts";
import { addPrinter, changePrinter, removePrinter } from "#src/studio/materials/keep-printer.ts";
import { addStock, changeStock } from "#src/studio/materials/keep-stock.ts";
import { addTablet, changeTablet } from "#src/studio/materials/keep-tablet.ts";
import type { Tools } from "#src/studio/tools.ts";
import { sayVersion, seenVersionOf } from "#src/web/version-header.ts";
import { jsonBody } from "./json-body.ts";

const listQuerySchema = z.object({ archived: z.enum(["true", "false"]).default("false") });

interface Kept {
  readonly id: string;
  readonly updatedAt: string;
}

/** What the routes of one resource do. */
interface Desk {
  readonly table: { list(options: { archived: boolean }): readonly Kept[]; get(id: string): Kept };
  add(input: unknown): Kept;
  change(id: string, changes: Readonly<Record<string, unknown>>, seenVersion: string | undefined): Kept | Promise<Kept>;
  remove(id: string): void;
}

const kinds: readonly MaterialKind[] = ["lamps", "supports", "coatings", "films"];

export function materialRoutes(tools: Pick<Tools, "store" | "assessThread">): Router {
  const router = Router();
  for (const kind of kinds) {
    addRoutes(router, `/api/${kind}`, {
      table: tools.store[kind],
      add: (input) => addMaterial(tools, kind, input),
      change: (id, changes, seenVersion) => changeMaterial(tools, { kind, id, changes, seenVersion }),
      remove: (id) => deleteMaterial(tools, kind, id),
    });
  }
  addRoutes(router, "/api/stocks", {
    table: tools.store.stocks,
    add: (input) => addStock(tools, input),
    change: (id, changes, seenVersion) => changeStock(tools, id, changes, { seenVersion }),
    remove: (id) => deleteMaterial(tools, "stocks", id),
  });
  addRoutes(router, "/api/tablets", {
    table: tools.store.tablets,
    add: (input) => addTablet(tools, input),
    change: (id, changes, seenVersion) => changeTablet(tools, id, changes, { seenVersion }),
    remove: (id) => deleteMaterial(tools, "tablets", id),
  });
  addRoutes(router, "/api/printers", {
    table: tools.store.printers,
    add: (input) => addPrinter(tools, input),
    change: (id, changes, seenVersion) => changePrinter(tools, id, changes, { seenVersion }),
    remove: (id) => removePrinter(tools, id),
  });
  router.get("/api/tablets/:id/in-light", (request, response) => {
    response.json(tabletForRequest(tools.store.tablets.get(request.params.id)));
  });
  router.post("/api/tablets/:id/calibrations", async (request, response) => {
    const calibration = tabletCalibrationSchema.parse(jsonBody(request));
    response.status(201).json(await calibrateTablet(tools, request.params.id, calibration));
  });
  return router;
}

function addRoutes(router: Router, path: string, desk: Desk): void {
  router.get(path, (request, response) => {
    const { archived } = listQuerySchema.parse(request.query);
    response.json(desk.table.list({ archived: archived === "true" }));
  });
  router.post(path, (request, response) => {
    const material = desk.add(jsonBody(request));
    response.status(201).location(`${path}/${material.id}`).json(material);
  });
  router.get(`${path}/:id`, (request, response) => {
    const material = desk.table.get(String(request.params["id"]));
    sayVersion(response, material);
    response.json(material);
  });
  router.patch(`${path}/:id`, async (request, response) => {
    const changes = jsonBody(request);
    const material = await desk.change(String(request.params["id"]), changes, seenVersionOf(request, changes));
    sayVersion(response, material);
    response.json(material);
  });
  router.delete(`${path}/:id`, (request, response) => {
    desk.remove(String(request.params["id"]));
    response.status(204).end();
  });
}
