// Routes of ink sheets, kept curves and several pictures at once.
import { inkReadingRequestSchema, inkSheetRequestSchema } from "#shared/schema/ink.ts";
import { keepCurveSchema } from "#shared/schema/kept-curve.ts";
import { negativeQuerySchema, seriesRequestSchema } from "#shared/schema/negative.ts";
import { photogramPhotoSchema } from "#shared/schema/photogram.ts";
import { printerRequestSchema } from "#shared/schema/printers.ts";
import { z } from "zod";
import type { Operation } from "#src/web/openapi/operation.ts";
import { photo } from "./picture-parts.ts";

export const inkAndCurveOperations: Readonly<Record<string, Operation>> = {
  "GET /api/sheets/ink.png": {
    summary: "An ink sheet to print on film, as a picture",
    query: inkSheetRequestSchema,
    gives: { files: ["image/png"] },
    troubles: [503],
  },
  "GET /api/sheets/ink.pdf": {
    summary: "An ink sheet to print on film, at true size",
    query: inkSheetRequestSchema,
    gives: { files: ["application/pdf"] },
    troubles: [503],
  },
  "POST /api/ink-sheets": {
    summary: "How much of each ink keeps the paper white, and which blocks most, from an ink sheet's print",
    form: { files: [photo], request: inkReadingRequestSchema },
    gives: "InkReading",
    troubles: [413, 415, 422, 503],
  },
  "POST /api/negatives/series": {
    summary: "Several pictures through one curve: a negative each, or together on films; ?wait=false as for one",
    query: negativeQuerySchema,
    form: { files: [{ ...photo, isRepeated: true }], request: seriesRequestSchema },
    gives: { files: ["application/pdf", "application/zip"] },
    troubles: [409, 413, 415, 503],
  },
  "GET /api/printers": {
    summary: "Lists every printer of film by name",
    query: z.object({ archived: z.enum(["true", "false"]).default("false") }),
    gives: ["Printer"],
  },
  "POST /api/printers": {
    summary: "Makes a printer",
    body: printerRequestSchema,
    status: 201,
    gives: "Printer",
    troubles: [404, 413, 415],
  },
  "GET /api/printers/{id}": { summary: "Shows one printer", gives: "Printer", troubles: [404] },
  "PATCH /api/printers/{id}": {
    summary: "Changes the sent fields of a printer, and which films it prints on",
    body: printerRequestSchema.partial(),
    gives: "Printer",
    troubles: [404, 413, 415],
  },
  "DELETE /api/printers/{id}": { summary: "Takes a printer off the list", status: 204, troubles: [404] },
  "POST /api/photograms": {
    summary: "How long a photogram's thing wants, from a photo of its print beside the strip of a test",
    form: { files: [photo], request: photogramPhotoSchema },
    gives: "PhotogramPhoto",
    troubles: [404, 413, 415, 422, 503],
  },
  "GET /api/curves": { summary: "Lists the tone curves that are kept", gives: ["KeptCurve"] },
  "POST /api/curves": {
    summary: "Keeps a tone curve: a test's own, blended with another's, or moved by hand",
    body: keepCurveSchema,
    status: 201,
    gives: "KeptCurve",
    troubles: [404, 409, 413, 415],
  },
  "GET /api/curves/{id}": { summary: "Shows one", gives: "KeptCurve", troubles: [404] },
  "DELETE /api/curves/{id}": { summary: "Forgets one", status: 204, troubles: [404] },
};
