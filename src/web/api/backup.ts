// Everything as one file, out and in again.
import { Router } from "express";
import { InputError } from "#shared/errors.ts";
import { restoreQuerySchema } from "#shared/schema/backup.ts";
import { backUp, restoreBackup } from "#src/studio/safekeeping/back-up.ts";
import { lookIntoBackup, noteBackupTaken, restoreHeldBackup } from "#src/studio/safekeeping/keep-safe.ts";
import type { Tools } from "#src/studio/tools.ts";
import { withSentBackup } from "#src/web/backup-upload.ts";
import { writeAndWait } from "#src/web/waited-write.ts";

/** Each backup holds a copy of the database while it is sent. */
const mostAtOnce = 4;

export function backupRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  let underWay = 0;
  router.get("/api/backup", async (_request, response) => {
    if (underWay >= mostAtOnce)
      throw new InputError("busy", "Several backups are being saved at the moment: try again in a minute.");
    underWay++;
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
      response.end(() => noteBackupTaken(tools, new Date()));
    } catch (error) {
      // Half an archive must not look like a whole one.
      if (response.headersSent) response.destroy(error instanceof Error ? error : undefined);
      else throw error;
    } finally {
      underWay--;
      await pieces.return(undefined);
    }
  });
  router.post("/api/restore", async (request, response) => {
    const { preview, acceptDamaged } = restoreQuerySchema.parse(request.query);
    response.json(
      await withSentBackup<unknown>(request, (source) =>
        preview === "true"
          ? lookIntoBackup(tools, source)
          : restoreBackup(tools, source, { acceptDamaged: acceptDamaged === "true" }),
      ),
    );
  });
  router.post("/api/restore/:id", async (request, response) => {
    response.json(await restoreHeldBackup(tools, request.params.id));
  });
  return router;
}
