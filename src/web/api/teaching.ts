// A studio of several people over HTTP: its name, who is next, its boxes side by side, its records as tables.
import { Router } from "express";
import { boxTableQuerySchema } from "#shared/schema/workshop/boxes.ts";
import { queueChangeSchema, queueEntryInputSchema, queueQuerySchema } from "#shared/schema/workshop/queue.ts";
import { recordTables, yearLogQuerySchema } from "#shared/schema/workshop/records.ts";
import { studioSchema } from "#shared/schema/workshop/studio-name.ts";
import { boxTable } from "#src/studio/teaching/box-table.ts";
import { changeQueueEntry, joinQueue, leaveQueue, waitingFor } from "#src/studio/teaching/keep-queue.ts";
import { nameStudio, studioOf } from "#src/studio/teaching/name-studio.ts";
import { recordTableCsv } from "#src/studio/teaching/record-tables.ts";
import { makeYearLog, yearLogCsv } from "#src/studio/teaching/year-log.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";
import { jsonBody } from "./json-body.ts";

export function teachingRoutes(tools: Pick<Tools, "store" | "modelThread">): Router {
  const router = Router();
  const { store } = tools;
  /** A file's name begins with the studio's. */
  const fileName = (...words: string[]): string => plainFileName([studioOf(tools).name, ...words]);
  const today = (): string => new Date().toISOString().slice(0, 10);

  router.get("/api/studio", (_request, response) => {
    response.json(studioOf(tools));
  });
  router.put("/api/studio", (request, response) => {
    response.json(nameStudio(tools, studioSchema.parse(jsonBody(request))));
  });

  router.get("/api/queue", (request, response) => {
    const { lampId, state } = queueQuerySchema.parse(request.query);
    response.json(state === "waiting" ? waitingFor(store, lampId) : store.queue.list({ state }));
  });
  router.post("/api/queue", (request, response) => {
    const entry = joinQueue(tools, queueEntryInputSchema.parse(jsonBody(request)));
    response.status(201).location(`/api/queue/${entry.id}`).json(entry);
  });
  router.patch("/api/queue/:id", (request, response) => {
    response.json(changeQueueEntry(tools, request.params.id, queueChangeSchema.parse(jsonBody(request))));
  });
  router.delete("/api/queue/:id", (request, response) => {
    leaveQueue(tools, request.params.id);
    response.status(204).end();
  });

  router.get("/api/boxes", (request, response) => {
    response.json(boxTable(tools, boxTableQuerySchema.parse(request.query)));
  });

  for (const table of recordTables)
    router.get(`/api/records/${table}.csv`, async (_request, response) => {
      const csv = await recordTableCsv(tools, table);
      response
        .type("csv")
        .attachment(`${fileName(table, today())}.csv`)
        .send(csv);
    });
  router.get("/api/log.csv", (request, response) => {
    const { year } = yearLogQuerySchema.parse(request.query);
    response
      .type("csv")
      .attachment(`${fileName("log", String(year))}.csv`)
      .send(yearLogCsv(tools, year));
  });
  router.get("/api/log.pdf", async (request, response) => {
    const { year } = yearLogQuerySchema.parse(request.query);
    const pdf = await makeYearLog(tools, year, new Date());
    response
      .type("pdf")
      .set("content-disposition", `inline; filename="${fileName("log", String(year))}.pdf"`)
      .send(Buffer.from(pdf));
  });
  return router;
}
