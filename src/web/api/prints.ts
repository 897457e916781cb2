// The print log over HTTP.
import { Router } from "express";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { printPatchSchema, printRequestSchema } from "#shared/schema/prints.ts";
import { beginPrint, changePrint, deletePrint, keepPrintPicture } from "#src/studio/keep-print.ts";
import type { Tools } from "#src/studio/tools.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { sayVersion, seenVersionOf } from "#src/web/version-header.ts";
import { jsonBody } from "./json-body.ts";

const printFilterSchema = z.object({
  state: z.enum(["planned", "in-work", "finished"]).optional(),
  lampId: z.string().optional(),
  supportId: z.string().optional(),
  coatingId: z.string().optional(),
  printedBy: z.string().max(80).optional(),
  after: z.string().max(100).optional(),
  limit: z.coerce.number().int().min(1).max(500).optional(),
});

export function printRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.get("/api/prints", (request, response) => {
    response.json(store.prints.list(printFilterSchema.parse(request.query)));
  });
  router.post("/api/prints", (request, response) => {
    const print = beginPrint(tools, printRequestSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/prints/${print.id}`).json(print);
  });
  router.get("/api/prints/:id", (request, response) => {
    const print = store.prints.get(request.params.id);
    sayVersion(response, print);
    response.json(print);
  });
  router.patch("/api/prints/:id", (request, response) => {
    const body = jsonBody(request);
    const print = changePrint(tools, request.params.id, printPatchSchema.parse(body), {
      seenVersion: seenVersionOf(request, body),
    });
    sayVersion(response, print);
    response.json(print);
  });
  router.put("/api/prints/:id/picture", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const photo = upload.files.find((file) => file.field === "photo");
    if (photo === undefined)
      throw new InputError("bad-request", 'The picture is missing: send it as the file "photo".', { field: "photo" });
    response.json(await keepPrintPicture(tools, request.params.id, photo.bytes));
  });
  router.delete("/api/prints/:id", (request, response) => {
    deletePrint(tools, request.params.id);
    response.status(204).end();
  });
  return router;
}
