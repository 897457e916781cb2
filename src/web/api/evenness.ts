// The map of a lamp's light over its bed.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import { mapEvenness } from "#src/studio/lamps/map-evenness.ts";
import type { Tools } from "#src/studio/tools.ts";
import { jsonField, printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";

export function evennessRoutes(tools: Tools): Router {
  const router = Router();
  router.post("/api/evenness", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const { photos, evenLight } = printPicturesFrom(upload);
    const [photo] = photos;
    if (photo === undefined || photos.length > 1)
      throw new InputError("bad-request", "Send one picture of the whole bed.", { field: "photo" });
    const asked = evennessRequestSchema.parse(jsonField(upload, "request"));
    response.json(
      await mapEvenness(tools, {
        request: asked,
        pictures: { photo, evenLight },
        signal: closingSignal(response),
      }),
    );
  });
  return router;
}
