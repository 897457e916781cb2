// Routes of readings, tests and their tone curves.
// A new route is one entry here; a test names what is missing.
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { readingRequestSchema } from "#shared/schema/reading.ts";
import { testFilterSchema, testPatchSchema, testRequestSchema } from "#shared/schema/test.ts";
import type { Operation } from "#src/web/openapi/operation.ts";
import { printPhotos, pictureTroubles } from "./picture-parts.ts";

function correctionFile(extension: string, mediaType: string): Record<string, Operation> {
  return {
    [`GET /api/tests/{id}/correction.${extension}`]: {
      summary: `The tone curve of a test as ${mediaType}`,
      query: correctionQuerySchema,
      gives: { files: [mediaType] },
      troubles: [404, 409],
    },
  };
}

/** Routes of readings, tests and their tone curves. */
export const testOperations: Readonly<Record<string, Operation>> = {
  "POST /api/readings": {
    summary: "Measures a print without saving",
    form: { files: printPhotos, request: readingRequestSchema },
    gives: "Reading",
    troubles: pictureTroubles,
  },
  "POST /api/tests": {
    summary: "Measures a test print, draws its curve and advice, and saves it all",
    form: { files: printPhotos, request: testRequestSchema },
    status: 201,
    gives: "Test",
    troubles: pictureTroubles,
  },
  "GET /api/tests": {
    summary: "Lists tests, newest first; the Link header leads on",
    query: testFilterSchema,
    gives: ["TestSummary"],
  },
  "GET /api/tests/{id}": { summary: "Shows one test", gives: "Test", troubles: [404] },
  "PATCH /api/tests/{id}": {
    summary: "Changes the sent fields and assesses again; null forgets a field",
    body: testPatchSchema,
    gives: "Test",
    troubles: [404, 413, 415, 422, 503],
  },
  "DELETE /api/tests/{id}": { summary: "Deletes a test and its pictures", status: 204, troubles: [404] },
  "GET /api/tests/{id}/correction": {
    summary: "The tone curve that the next negative needs",
    query: correctionQuerySchema,
    gives: "Correction",
    troubles: [404, 409],
  },
  ...correctionFile("json", "application/json"),
  ...correctionFile("csv", "text/csv"),
  ...correctionFile("txt", "text/plain"),
  ...correctionFile("cube", "text/plain"),
  ...correctionFile("icc", "application/vnd.iccprofile"),
  ...correctionFile("png", "image/png"),
};
