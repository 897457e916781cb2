// Corrected negatives over HTTP: answered at once, or made in the background with progress.
import { Router } from "express";
import {
  mostSeriesPictures,
  negativeQuerySchema,
  negativeRequestSchema,
  seriesRequestSchema,
  type NegativeProgress,
} from "#shared/schema/negative.ts";
import { makeNegative } from "#src/studio/negatives/make-negative.ts";
import { makeSeries } from "#src/studio/negatives/make-series.ts";
import { negativeJobs, type NegativeJobs } from "#src/studio/negatives/negative-jobs.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";
import { jsonField } from "#src/web/upload.ts";
import { receiveToDisk } from "#src/web/upload-to-disk.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { dated, negativeExtensions, photoOf, sendNegative, sendSeries } from "#src/web/negatives/send-negative.ts";

export function negativeRoutes(tools: Tools): Router {
  const router = Router();
  const jobs = negativeJobs(tools);
  router.post("/api/negatives", async (request, response) => {
    const { wait } = negativeQuerySchema.parse(request.query);
    const upload = await receiveToDisk(request, response);
    const negativeRequest = dated(
      negativeRequestSchema.parse(jsonField({ fields: upload.fields, files: [] }, "request")),
    );
    const file = photoOf(upload);
    if (wait === "false") {
      const id = jobs.start({
        request: negativeRequest,
        file,
        pictureName: upload.photoName,
        workFolder: upload.folder,
      });
      upload.keepFolder();
      response.status(202).location(`/api/negatives/${id}`).json(progressAnswer(jobs, id));
      return;
    }
    sendNegative(
      response,
      await makeNegative(tools, {
        request: negativeRequest,
        file,
        pictureName: upload.photoName,
        workFolder: upload.folder,
        signal: closingSignal(response),
      }),
    );
  });
  router.post("/api/negatives/series", async (request, response) => {
    const { wait } = negativeQuerySchema.parse(request.query);
    const upload = await receiveToDisk(request, response, { mostPictures: mostSeriesPictures });
    const asked = dated(seriesRequestSchema.parse(jsonField({ fields: upload.fields, files: [] }, "request")));
    photoOf(upload);
    const wish = { request: asked, pictures: upload.pictures, workFolder: upload.folder };
    if (wait === "false") {
      const id = jobs.start(wish);
      upload.keepFolder();
      response.status(202).location(`/api/negatives/${id}`).json(progressAnswer(jobs, id));
      return;
    }
    await sendSeries(response, await makeSeries(tools, { ...wish, signal: closingSignal(response) }));
  });
  router.get("/api/negatives/:id", (request, response) => {
    response.set("Cache-Control", "no-store").json(progressAnswer(jobs, request.params.id));
  });
  router.get("/api/negatives/:id/file", (request, response, next) => {
    const { path, type, nameWords } = jobs.file(request.params.id);
    response.sendFile(
      path,
      {
        headers: {
          "Content-Type": type,
          "Content-Disposition": `attachment; filename="${plainFileName(nameWords)}.${negativeExtensions[type]}"`,
        },
      },
      (error) => {
        if (error && !response.headersSent) next(error);
      },
    );
  });
  router.delete("/api/negatives/:id", (request, response) => {
    jobs.cancel(request.params.id);
    response.status(204).end();
  });
  return router;
}

function progressAnswer(jobs: NegativeJobs, id: string): NegativeProgress {
  const { nameWords, ...progress } = jobs.progress(id);
  return {
    id,
    ...progress,
    file: progress.state === "done" ? `/api/negatives/${id}/file` : null,
    fileName: nameWords === null ? null : plainFileName(nameWords),
  };
}
