// Routes of times to expose for, comparisons and the print log.
// A new route is one entry here; a test names what is missing.
import { comparisonRequestSchema } from "#shared/schema/comparisons.ts";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import { printPatchSchema, printRequestSchema } from "#shared/schema/prints.ts";
import type { Operation } from "#src/web/openapi/operation.ts";
import { photo } from "./picture-parts.ts";

/** Routes of times to expose for, comparisons and the print log. */
export const printOperations: Readonly<Record<string, Operation>> = {
  "GET /api/exposures": {
    summary: "The time for a combination, tested or inferred, with its provenance",
    query: exposureQuerySchema,
    gives: "Exposure",
  },
  "POST /api/comparisons": {
    summary: "Compares tests pairwise",
    body: comparisonRequestSchema,
    gives: "Comparison",
    troubles: [413, 415],
  },
  "GET /api/prints": { summary: "Lists the print log", gives: "PrintPage" },
  "POST /api/prints": {
    summary: "Begins a print",
    body: printRequestSchema,
    status: 201,
    gives: "Print",
    troubles: [413, 415],
  },
  "GET /api/prints/{id}": { summary: "Shows one print", gives: "Print", troubles: [404] },
  "PATCH /api/prints/{id}": {
    summary: "Changes the sent fields of a print",
    body: printPatchSchema,
    gives: "Print",
    troubles: [404, 413, 415],
  },
  "PUT /api/prints/{id}/picture": {
    summary: "Keeps a picture of the finished print",
    form: { files: [photo] },
    gives: "Print",
    troubles: [404, 413, 415],
  },
  "DELETE /api/prints/{id}": { summary: "Deletes a print from the log", status: 204, troubles: [404] },
};
