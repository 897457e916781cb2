// Stored pictures for pages: small copies, and measuring a stored picture anew without sending it again.
import express, { Router } from "express";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { isDoubtOf, pictureShows, pictureSizeDoubt } from "#shared/reading/chosen-file.ts";
import { readingRequestSchema } from "#shared/schema/reading.ts";
import { chosenFileSentence } from "#shared/words/tests/chosen-file-words.ts";
import { measurePrint } from "#src/studio/tests/measure-print.ts";
import { keepPicture, previewPicture, previewSidesPx } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { printPicturesFrom, receiveUpload } from "#src/web/upload.ts";

const oneYearSeconds = 31_536_000;
const maxRequestBytes = 200_000;

/** More than two hints at once are not read. */
const mostHints = 2;

const showsSchema = z.object({ shows: z.enum(pictureShows).default("print") });
const sideSchema = z.object({ side: z.coerce.number().default(previewSidesPx[1]) });

export function pictureRoutes(tools: Tools): Router {
  const router = Router();
  router.post("/pictures", async (request, response) => {
    const { shows } = showsSchema.parse(request.query);
    const { photos } = printPicturesFrom(await receiveUpload(request, response));
    const [photo] = photos;
    if (photo === undefined) throw new InputError("bad-request", "The picture is missing.", { field: "photo" });
    const { facts, ...kept } = await keepPicture(tools, photo);
    const sizeDoubt = pictureSizeDoubt(kept);
    const doubts = [...(sizeDoubt === null ? [] : [sizeDoubt]), ...facts]
      .filter((fact) => isDoubtOf(shows, fact))
      .slice(0, mostHints);
    const hint = doubts.length === 0 ? null : doubts.map(chosenFileSentence).join(" ");
    response.status(201).json({ ...kept, hint });
  });
  router.get("/pictures/:id", async (request, response) => {
    const { side } = sideSchema.parse(request.query);
    const wanted = previewSidesPx.find((each) => each === side);
    if (wanted === undefined)
      throw new InputError("bad-request", `Pictures come in these sizes: ${previewSidesPx.join(" or ")} pixels.`, {
        field: "side",
      });
    const jpeg = await previewPicture(tools, request.params.id, wanted);
    // The name is the content's own hash, so that a copy never grows old.
    response.set("cache-control", `private, max-age=${oneYearSeconds}, immutable`).type("jpeg").send(Buffer.from(jpeg));
  });
  router.post("/pictures/:id/readings", express.json({ limit: maxRequestBytes }), async (request, response) => {
    const readingRequest = readingRequestSchema.parse(request.body);
    const { id } = request.params;
    // Corners being dragged ask many times in a row: named by its id, the picture is decoded for the first alone.
    response.json(
      await measurePrint(tools, {
        request: readingRequest,
        pictures: { photos: [id] },
        signal: closingSignal(response),
      }),
    );
  });
  return router;
}
