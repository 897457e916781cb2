// Routes of the server itself, of sharing and of safekeeping.
// A new route is one entry here; a test names what is missing.
import { restoreQuerySchema } from "#shared/schema/backup.ts";
import type { Operation } from "#src/web/openapi/operation.ts";

/** Routes of the server itself, of sharing and of safekeeping. */
export const studioOperations: Readonly<Record<string, Operation>> = {
  "GET /api/health": { summary: "Says that the server is up, and its version", gives: "Health" },
  "GET /api/openapi.json": { summary: "This document", gives: "OpenApi" },
  "GET /api/calibrations": {
    summary: "Calibrations with their pictures, to share",
    gives: { files: ["application/json"] },
    troubles: [404],
  },
  "POST /api/calibrations": {
    summary: "Takes shared calibrations in; every picture is measured anew",
    form: { files: [{ name: "calibrations", isRequired: true }] },
    status: 201,
    gives: "Imported",
    troubles: [413, 415],
  },
  "POST /api/samples": { summary: "Loads the invented studio", status: 201, gives: "LoadedSamples" },
  "GET /api/backup": { summary: "All as one archive", gives: { files: ["application/x-tar"] }, troubles: [503, 507] },
  "POST /api/restore": {
    summary: "Replaces everything by a backup, once all of it is proved",
    binary: "application/x-tar",
    query: restoreQuerySchema,
    gives: "RestoreAnswer",
    troubles: [503],
  },
  "POST /api/restore/{id}": { summary: "Restores a backup that was looked into", gives: "Restored", troubles: [503] },
};
