// Views that the page's script asks for while a negative is being arranged.
import { Router } from "express";
import { z } from "zod";
import { negativeRequestFromForm } from "#shared/correction/negative-form.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { negativeWindow, smallPicture } from "#src/studio/negatives/preview-negative.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { receiveToDisk } from "#src/web/upload-to-disk.ts";
import { photoOf } from "./send-negative.ts";

/** Longest side of the small picture [px]. */
const smallSidePx = 640;

const windowSchema = z.object({
  atX: z.coerce.number().min(0).max(1).default(0.5),
  atY: z.coerce.number().min(0).max(1).default(0.5),
  as: z.enum(["film", "positive"]).default("film"),
});

export function negativePreviewRoutes(tools: Tools): Router {
  const router = Router();
  /** A window of the negative, pixel for pixel. */
  router.post("/negatives/window", async (request, response) => {
    const upload = await receiveToDisk(request, response);
    const { atX, atY, as } = windowSchema.parse(upload.fields);
    const png = await negativeWindow(tools, {
      request: negativeRequestSchema.parse(negativeRequestFromForm(upload.fields)),
      file: photoOf(upload),
      workFolder: upload.folder,
      at: { x: atX, y: atY },
      as,
      signal: closingSignal(response),
    });
    response.type("image/png").set("Cache-Control", "no-store").send(Buffer.from(png));
  });
  /** The picture small, for browsers that cannot open its kind. */
  router.post("/negatives/small-picture", async (request, response) => {
    const upload = await receiveToDisk(request, response);
    const small = await smallPicture(tools, {
      file: photoOf(upload),
      maxSidePx: smallSidePx,
      signal: closingSignal(response),
    });
    response
      .type("image/jpeg")
      .set({ "Cache-Control": "no-store", "Wedgewright-Size": `${small.fullWidth} ${small.fullHeight}` })
      .send(Buffer.from(small.jpeg));
  });
  return router;
}
