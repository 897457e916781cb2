// Calibrations as a file: out with their pictures, in again with every picture measured anew.
import { Router } from "express";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { maxSharedTests } from "#shared/schema/sharing.ts";
import { testFilterSchema } from "#shared/schema/test.ts";
import { senderSchema, studioNameSchema } from "#shared/schema/workshop/studio-name.ts";
import { importCalibrations } from "#src/studio/safekeeping/import-calibrations.ts";
import { sharedCalibrations } from "#src/studio/safekeeping/share-calibrations.ts";
import { studioOf } from "#src/studio/teaching/name-studio.ts";
import type { Tools } from "#src/studio/tools.ts";
import { plainFileName } from "#src/web/file-name.ts";
import { parsedJson } from "#src/web/parts/json-file.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { writeAndWait } from "#src/web/waited-write.ts";

const shareQuerySchema = testFilterSchema.omit({ limit: true, after: true }).extend({
  /** One id or several, separated by commas; instead of the filters. */
  testIds: z.string().max(20_000).optional(),
  /** Who sends it; the studio's kept name when absent. */
  studio: studioNameSchema.optional(),
  note: senderSchema.shape.note,
});

export function calibrationRoutes(tools: Tools): Router {
  const router = Router();
  router.get("/api/calibrations", async (request, response) => {
    const { testIds, studio = studioOf(tools).name, note, ...filter } = shareQuerySchema.parse(request.query);
    const sentOn = new Date().toISOString().slice(0, 10);
    const ids =
      testIds === undefined
        ? tools.store.tests.list({ ...filter, limit: maxSharedTests }).tests.map((test) => test.id)
        : [...new Set(testIds.split(",").filter((id) => id !== ""))];
    if (ids.length === 0) throw new InputError("not-found", "No test fits: choose at least one to share.");
    if (ids.length > maxSharedTests)
      throw new InputError("bad-request", `A file holds at most ${maxSharedTests} tests: share them in parts.`, {
        field: "testIds",
      });
    const pieces = sharedCalibrations(tools, ids, studio === "" && note === "" ? null : { studio, note, sentOn });
    const first = await pieces.next();
    response.type("json").attachment(`${plainFileName([studio, "calibrations", sentOn])}.json`);
    response.write(first.value);
    for await (const piece of pieces) {
      if (response.destroyed) return;
      await writeAndWait(response, piece);
    }
    response.end();
  });
  router.post("/api/calibrations", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const file = upload.files.find((each) => each.field === "calibrations");
    if (file === undefined)
      throw new InputError("bad-request", 'The file is missing: send it as the file "calibrations".', {
        field: "calibrations",
      });
    response.status(201).json(await importCalibrations(tools, parsedJson(file.bytes)));
  });
  return router;
}
