// Test prints over HTTP.
import { Router } from "express";
import { testFilterSchema, testRequestSchema, type SavedTest, type TestRequest } from "#shared/schema/test.ts";
import { withOwnTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { deleteTest } from "#src/studio/tests/delete-test.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { sayVersion, seenVersionOf } from "#src/web/version-header.ts";
import { jsonBody } from "./json-body.ts";

export function testRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  router.post("/api/tests", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const asked = testRequestSchema.parse(withOwnTablet(store, jsonField(upload, "request")));
    const pictures = printPicturesFrom(upload, { isPhotoNeeded: asked.instrument === undefined });
    const test = await recordTest(tools, { request: asked, pictures });
    response.status(201).location(`/api/tests/${test.id}`).json(testAnswer(test));
  });
  router.get("/api/tests", (request, response) => {
    const filter = testFilterSchema.parse(request.query);
    const { tests, next } = store.tests.list(filter);
    if (next !== null) response.links({ next: nextAddress(request.originalUrl, next) });
    response.json(tests);
  });
  router.get("/api/tests/:id", (request, response) => {
    const test = store.tests.get(request.params.id);
    sayVersion(response, test);
    response.json(testAnswer(test));
  });
  router.patch("/api/tests/:id", async (request, response) => {
    const { version: _version, ...asked } = jsonBody(request);
    const { tabletId: _tabletId, ...changes } = { tabletId: undefined, ...withOwnTablet(store, asked) };
    const seenVersion = seenVersionOf(request, jsonBody(request));
    const test = await rereadTest(tools, request.params.id, changes, { seenVersion });
    sayVersion(response, test);
    response.json(testAnswer(test));
  });
  router.delete("/api/tests/:id", (request, response) => {
    deleteTest(tools, request.params.id);
    response.status(204).end();
  });
  return router;
}

/**
 * A test on the wire: as saved, with the fields of its request beside the rest, under the names by which they were
 * sent.
 */
function testAnswer(test: SavedTest): TestRequest & SavedTest {
  return { ...test.request, ...test };
}

/** The same list, one page on. */
function nextAddress(originalUrl: string, next: string): string {
  const address = new URL(originalUrl, "http://here");
  address.searchParams.set("after", next);
  return `${address.pathname}${address.search}`;
}
