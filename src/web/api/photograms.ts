// Photograms from a photo, over HTTP.
import { Router } from "express";
import { photogramPhotoSchema } from "#shared/schema/photogram.ts";
import { readPhotogramPhoto } from "#src/studio/negatives/photogram-photo.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";

export function photogramRoutes(tools: Tools): Router {
  const router = Router();
  router.post("/api/photograms", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const asked = photogramPhotoSchema.parse(jsonField(upload, "request"));
    const [picture = new Uint8Array()] = printPicturesFrom(upload).photos;
    response.json(await readPhotogramPhoto(tools, { picture, request: asked }));
  });
  return router;
}
