// What changed in the studio, and tests that are left out of the times, over HTTP.
import { Router } from "express";
import { countingSchema, studioChangeSchema } from "#shared/schema/changes.ts";
import { forgetStudioChange, leaveTestOut, noteStudioChange } from "#src/studio/lamps/note-change.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonBody } from "./json-body.ts";

export function changeRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  const { store } = tools;
  router.get("/api/changes", (_request, response) => {
    response.json(store.changes.list());
  });
  router.post("/api/changes", (request, response) => {
    const change = noteStudioChange(tools, studioChangeSchema.parse(jsonBody(request)));
    response.status(201).json(change);
  });
  router.delete("/api/changes/:id", (request, response) => {
    forgetStudioChange(tools, request.params.id);
    response.status(204).end();
  });
  router.get("/api/left-out", (_request, response) => {
    response.json([...store.changes.leftOut()].map(([testId, leftOutReason]) => ({ testId, leftOutReason })));
  });
  router.put("/api/tests/:id/counting", (request, response) => {
    const { id } = store.tests.get(request.params.id);
    const { leftOutReason } = countingSchema.parse(jsonBody(request));
    leaveTestOut(tools, id, leftOutReason);
    response.json({ testId: id, leftOutReason });
  });
  return router;
}
