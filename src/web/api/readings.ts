// Measuring without saving.
import { Router } from "express";
import { readingRequestSchema } from "#shared/schema/reading.ts";
import { withOwnTablet } from "#src/studio/materials/calibrate-tablet.ts";
import { measurePrint } from "#src/studio/tests/measure-print.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";

export function readingRoutes(tools: Tools): Router {
  const router = Router();
  router.post("/api/readings", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const readingRequest = readingRequestSchema.parse(withOwnTablet(tools.store, jsonField(upload, "request")));
    const pictures = printPicturesFrom(upload, { isPhotoNeeded: readingRequest.instrument === undefined });
    response.json(await measurePrint(tools, { request: readingRequest, pictures, signal: closingSignal(response) }));
  });
  return router;
}
