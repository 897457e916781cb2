// Routes of the wedge sheet, the film and the negative.
// A new route is one entry here; a test names what is missing.
import { madeNegativePatchSchema, negativeQuerySchema, negativeRequestSchema } from "#shared/schema/negative.ts";
import { sheetRequestSchema } from "#shared/schema/sheet.ts";
import type { Operation } from "#src/web/openapi/operation.ts";
import { photo } from "./picture-parts.ts";

/** Routes of the wedge sheet, the film and the negative. */
export const negativeOperations: Readonly<Record<string, Operation>> = {
  "GET /api/tests/{id}/sheet-check": {
    summary: "How close a sheet printed through a correction came to what that aimed at",
    gives: "SheetCheck",
    troubles: [404, 409],
  },
  "GET /api/sheets/default.png": {
    summary: "The wedge sheet to print on film, as a picture",
    query: sheetRequestSchema,
    gives: { files: ["image/png"] },
    troubles: [404, 409, 503],
  },
  "GET /api/sheets/default.pdf": {
    summary: "The wedge sheet to print on film, at true size",
    query: sheetRequestSchema,
    gives: { files: ["application/pdf"] },
    troubles: [404, 409, 503],
  },
  "POST /api/negatives": {
    summary: "Makes the corrected negative; with ?wait=false in the background: 202 and where to ask",
    query: negativeQuerySchema,
    form: { files: [photo], request: negativeRequestSchema },
    gives: { files: ["image/png", "image/tiff", "application/pdf"] },
    troubles: [409, 413, 415, 503],
  },
  "GET /api/negatives/{id}": {
    summary: "State, share done and warnings of a negative in the making",
    gives: "NegativeProgress",
    troubles: [404],
  },
  "GET /api/negatives/{id}/file": {
    summary: "The finished negative, kept for half an hour",
    gives: { files: ["image/png", "image/tiff", "application/pdf"] },
    troubles: [404],
  },
  "DELETE /api/negatives/{id}": { summary: "Cancels or forgets a negative", status: 204, troubles: [404] },
  "GET /api/made-negatives": { summary: "Lists the negatives that were made", gives: "MadeNegatives" },
  "GET /api/made-negatives/{id}": { summary: "Shows one", gives: "MadeNegative", troubles: [404] },
  "PATCH /api/made-negatives/{id}": {
    summary: "Names its settings, or changes its notes",
    body: madeNegativePatchSchema,
    gives: "MadeNegative",
    troubles: [404, 413, 415],
  },
  "DELETE /api/made-negatives/{id}": { summary: "Takes it off the list", status: 204, troubles: [404] },
  "GET /api/tests/{id}/film": {
    summary: "The UV density of each grey level of the film, measured by its print",
    gives: "MeasuredFilm",
    troubles: [404, 409],
  },
};
