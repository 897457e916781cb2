// Routes of a studio of several people, and of its cloth, for the document.
import { countingSchema, studioChangeSchema } from "#shared/schema/changes.ts";
import { boxTableQuerySchema } from "#shared/schema/workshop/boxes.ts";
import { clothPlanQuerySchema, shrinkageRequestSchema } from "#shared/schema/workshop/cloth.ts";
import { fadingChangeSchema, fadingQuerySchema, fadingRequestSchema } from "#shared/schema/workshop/fading.ts";
import { queueChangeSchema, queueEntryInputSchema, queueQuerySchema } from "#shared/schema/workshop/queue.ts";
import { recordTables, yearLogQuerySchema } from "#shared/schema/workshop/records.ts";
import { studioSchema } from "#shared/schema/workshop/studio-name.ts";
import type { Operation } from "#src/web/openapi/operation.ts";

export const workshopOperations: Readonly<Record<string, Operation>> = {
  "GET /api/studio": { summary: "What the studio is called", gives: "Studio" },
  "PUT /api/studio": { summary: "Gives the studio a name", body: studioSchema, gives: "Studio", troubles: [413, 415] },
  "GET /api/changes": { summary: "What changed, newest first", gives: ["StudioChange"] },
  "POST /api/changes": {
    summary: "Notes what changed from one day on, so that times hold to the tests since",
    body: studioChangeSchema,
    status: 201,
    gives: "StudioChange",
    troubles: [413, 415],
  },
  "DELETE /api/changes/{id}": { summary: "Takes a noted change back", status: 204 },
  "GET /api/left-out": { summary: "Tests that are left out of the times", gives: ["TestCounting"] },
  "PUT /api/tests/{id}/counting": {
    summary: "Leaves a test out of the times with a reason, or counts it again",
    body: countingSchema,
    gives: "TestCounting",
    troubles: [404, 413, 415],
  },
  "GET /api/queue": { summary: "Who waits, next first", query: queueQuerySchema, gives: ["QueueEntry"] },
  "POST /api/queue": {
    summary: "Puts someone at the end of the queue",
    body: queueEntryInputSchema,
    status: 201,
    gives: "QueueEntry",
    troubles: [413, 415],
  },
  "PATCH /api/queue/{id}": {
    summary: "Moves an entry up or down, or is done with it",
    body: queueChangeSchema,
    gives: "QueueEntry",
    troubles: [404, 413, 415],
  },
  "DELETE /api/queue/{id}": { summary: "Takes someone out of the queue", status: 204, troubles: [404] },
  "GET /api/boxes": {
    summary: "The times of one paper under every box, and the boxes against one of them",
    query: boxTableQuerySchema,
    gives: "BoxTable",
  },
  ...Object.fromEntries(
    recordTables.map((table): [string, Operation] => [
      `GET /api/records/${table}.csv`,
      { summary: `All ${table} as a table`, gives: { files: ["text/csv"] } },
    ]),
  ),
  "GET /api/log.csv": {
    summary: "Tests and prints of a year, as a table",
    query: yearLogQuerySchema,
    gives: { files: ["text/csv"] },
  },
  "GET /api/log.pdf": {
    summary: "Tests and prints of a year, on paper",
    query: yearLogQuerySchema,
    gives: { files: ["application/pdf"] },
  },
  "GET /api/supports/{id}/cloth": {
    summary: "What prints of a finished size take of a cloth, of sensitizer and of money",
    query: clothPlanQuerySchema,
    gives: "ClothPlan",
    troubles: [404],
  },
  "POST /api/supports/{id}/shrinkage": {
    summary: "Keeps what a cloth shrank by, from marks before and after the wash",
    body: shrinkageRequestSchema,
    gives: "Support",
    troubles: [404, 413, 415],
  },
  "GET /api/tests/{id}/fading": {
    summary: "What the steps of a strip lost after washes or in light",
    query: fadingQuerySchema,
    gives: "Fading",
    troubles: [404],
  },
  "POST /api/tests/{id}/fading": {
    summary: "Reads a strip again after washes or in light",
    form: { files: [{ name: "photo", isRequired: true }], request: fadingRequestSchema },
    status: 201,
    gives: "FadingReading",
    troubles: [404, 413, 415, 422, 503],
  },
  "PATCH /api/fading/{id}": {
    summary: "Changes a later reading of a strip; with corners its picture is read again",
    body: fadingChangeSchema,
    gives: "FadingReading",
    troubles: [404, 413, 415, 422, 503],
  },
  "DELETE /api/fading/{id}": { summary: "Forgets a later reading of a strip", status: 204, troubles: [404] },
};
