// Everything as one file, out and in again.
import { Router, type Request } from "express";
import { PassThrough } from "node:stream";
import multer from "multer";
import { InputError } from "#shared/errors.ts";
import { backUp, restoreBackup } from "#src/studio/back-up.ts";
import type { Tools } from "#src/studio/tools.ts";
import { writeAndWait } from "#src/web/waited-write.ts";

export function backupRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  router.get("/api/backup", async (_request, response) => {
    const pieces = backUp(tools);
    try {
      // The first piece proves that a backup can be made at all, before the answer begins.
      const first = await pieces.next();
      response
        .type("application/x-tar")
        .attachment(`wedgewright-${new Date().toISOString().slice(0, 10)}.tar`)
        .type("application/x-tar");
      response.write(first.value);
      for await (const piece of pieces) {
        if (response.destroyed) return;
        await writeAndWait(response, piece);
      }
      response.end();
    } catch (error) {
      // Half an archive must not look like a whole one.
      if (response.headersSent) response.destroy(error instanceof Error ? error : undefined);
      else throw error;
    } finally {
      await pieces.return(undefined);
    }
  });
  router.post("/api/restore", async (request, response) => {
    response.json(
      await (request.is("multipart/form-data") ? restoreFromForm(tools, request) : restoreBackup(tools, request)),
    );
  });
  return router;
}

/** The archive as the file "backup" of a form, streamed through. */
function restoreFromForm(
  tools: Pick<Tools, "store">,
  request: Request,
): Promise<Awaited<ReturnType<typeof restoreBackup>>> {
  return new Promise((resolve, reject) => {
    let restored: ReturnType<typeof restoreBackup> | undefined;
    const storage = {
      _handleFile(_request: unknown, file: Express.Multer.File, done: (error?: unknown, info?: object) => void): void {
        const through = file.stream.pipe(new PassThrough());
        file.stream.once("error", (error) => through.destroy(error));
        restored = restoreBackup(tools, through);
        restored.then(
          () => done(undefined, {}),
          (error: unknown) => {
            file.stream.resume();
            done(error);
          },
        );
      },
      _removeFile(_request: unknown, _file: unknown, done: (error: Error | null) => void): void {
        done(null);
      },
    };
    multer({ storage, limits: { files: 1, fields: 5, parts: 8 } }).single("backup")(
      request,
      request.res!,
      (error: unknown) => {
        if (error instanceof InputError) reject(error);
        else if (error !== undefined && error !== null)
          reject(
            new InputError(
              "bad-request",
              'Send the backup as the one file "backup", or as the whole body of the request.',
              { field: "backup", cause: error },
            ),
          );
        else if (restored === undefined)
          reject(
            new InputError("bad-request", 'The backup is missing: send it as the file "backup".', { field: "backup" }),
          );
        else restored.then(resolve, reject);
      },
    );
  });
}
