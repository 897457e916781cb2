// Corrected negatives over HTTP: answered at once, or made in the background with progress.
import { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import {
  negativeQuerySchema,
  negativeRequestSchema,
  type NegativeProgress,
  type NegativeRequest,
} from "#shared/schema/negative.ts";
import { makeNegative, type NegativeFile } from "#src/studio/make-negative.ts";
import { negativeJobs, type NegativeJobs } from "#src/studio/negative-jobs.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";
import { jsonField } from "#src/web/upload.ts";
import { receiveToDisk, type UploadOnDisk } from "#src/web/upload-to-disk.ts";
import { closingSignal } from "./readings.ts";

const extensions = { "image/png": "png", "application/pdf": "pdf" } as const;

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
      const id = jobs.start({ request: negativeRequest, file, workFolder: upload.folder });
      upload.keepFolder();
      response.status(202).location(`/api/negatives/${id}`).json(progressAnswer(jobs, id));
      return;
    }
    sendNegative(
      response,
      await makeNegative(tools, {
        request: negativeRequest,
        file,
        workFolder: upload.folder,
        signal: closingSignal(response),
      }),
    );
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
          "Content-Disposition": `attachment; filename="${plainFileName(nameWords)}.${extensions[type]}"`,
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

/** The picture of an upload. @throws InputError "bad-request" */
export function photoOf(upload: UploadOnDisk): string {
  if (upload.photo === null)
    throw new InputError("bad-request", 'The picture is missing: send it as the file "photo".', { field: "photo" });
  return upload.photo;
}

/** A request whose caption carries today's date unless it says another. */
export function dated(request: NegativeRequest): NegativeRequest {
  return { ...request, captionDate: request.captionDate || new Date().toISOString().slice(0, 10) };
}

/** Sends the file, its warnings beside it as JSON in a header of plain characters. */
export function sendNegative(response: Response, { bytes, type, nameWords, warnings }: NegativeFile): void {
  response
    .type(type)
    .attachment(`${plainFileName(nameWords)}.${extensions[type]}`)
    .type(type)
    .set("Wedgewright-Warnings", warningsHeader(warnings))
    .send(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
}

/** Most characters of the warnings header; proxies cut longer ones. */
const longestHeader = 6000;

function warningsHeader(warnings: NegativeFile["warnings"]): string {
  const whole = encodeURIComponent(JSON.stringify(warnings));
  return whole.length <= longestHeader
    ? whole
    : encodeURIComponent(JSON.stringify(warnings.map(({ code }) => ({ code, message: "" }))));
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
