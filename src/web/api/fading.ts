// What a strip lost after washes or in light, over HTTP.
import { Router } from "express";
import { fadingChangeSchema, fadingQuerySchema, fadingRequestSchema } from "#shared/schema/workshop/fading.ts";
import { changeFading, fadingOf, forgetFading, readFading } from "#src/studio/cloth/read-fading.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";

export function fadingRoutes(tools: Tools): Router {
  const router = Router();
  router.get("/api/tests/:id/fading", (request, response) => {
    response.json(fadingOf(tools, request.params.id, fadingQuerySchema.parse(request.query)));
  });
  router.post("/api/tests/:id/fading", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const { photos } = printPicturesFrom(upload);
    const asked = fadingRequestSchema.parse(jsonField(upload, "request"));
    response.status(201).json(await readFading(tools, request.params.id, { photo: photos[0]!, request: asked }));
  });
  router.patch("/api/fading/:id", async (request, response) => {
    response.json(await changeFading(tools, request.params.id, fadingChangeSchema.parse(request.body)));
  });
  router.delete("/api/fading/:id", (request, response) => {
    forgetFading(tools, request.params.id);
    response.status(204).end();
  });
  return router;
}
