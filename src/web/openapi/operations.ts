// Every route of the API for the document. A new route is one entry here; a test names what is missing.
import { restoreQuerySchema } from "#shared/schema/backup.ts";
import { comparisonRequestSchema } from "#shared/schema/comparisons.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { madeNegativePatchSchema } from "#shared/schema/negative.ts";
import { negativeQuerySchema, negativeRequestSchema } from "#shared/schema/negative.ts";
import { printPatchSchema, printRequestSchema } from "#shared/schema/prints.ts";
import { readingRequestSchema } from "#shared/schema/reading.ts";
import { sheetRequestSchema } from "#shared/schema/sheet.ts";
import { tabletCalibrationSchema, tabletInputSchema } from "#shared/schema/tablets.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import {
  beginSunFrameSchema,
  judgeSunFrameSchema,
  sunFramePatchSchema,
  witnessRequestSchema,
} from "#shared/schema/sun-frame.ts";
import { sunDayRequestSchema } from "#shared/schema/sun-day.ts";
import { sunAnchorInputSchema, sunExposureRequestSchema } from "#shared/schema/sun.ts";
import { testFilterSchema, testPatchSchema, testRequestSchema } from "#shared/schema/test.ts";
import { z } from "zod";
import type { AnswerName } from "./answers.ts";
import type { Operation } from "./operation.ts";

const archivedQuery = z.object({ archived: z.enum(["true", "false"]).default("false") });
const photo = { name: "photo", isRequired: true };
const printPhotos = [
  { ...photo, isRepeated: true },
  { name: "evenLight", isRequired: false },
];
const pictureTroubles = [413, 415, 422, 503];

function materialOperations(
  path: string,
  noun: string,
  schema: z.ZodObject,
  gives: AnswerName,
): Record<string, Operation> {
  return {
    [`GET ${path}`]: {
      summary: `Lists every ${noun} by name`,
      query: archivedQuery,
      gives: [gives],
    },
    [`POST ${path}`]: { summary: `Makes a ${noun}`, body: schema, status: 201, gives, troubles: [413, 415] },
    [`GET ${path}/{id}`]: { summary: `Shows one ${noun}`, gives, troubles: [404] },
    [`PATCH ${path}/{id}`]: {
      summary: `Changes the sent fields of a ${noun}`,
      body: schema.partial(),
      gives,
      troubles: [404, 413, 415],
    },
    [`DELETE ${path}/{id}`]: { summary: `Deletes a ${noun} that nothing uses`, status: 204, troubles: [404, 409] },
  };
}

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

export const operations: Readonly<Record<string, Operation>> = {
  "GET /api/health": { summary: "Says that the server is up, and its version", gives: "Health" },
  "GET /api/openapi.json": { summary: "This document", gives: "OpenApi" },
  ...materialOperations("/api/lamps", "lamp", lampInputSchema, "Lamp"),
  ...materialOperations("/api/supports", "paper or fabric", supportInputSchema, "Support"),
  ...materialOperations("/api/coatings", "coating", coatingInputSchema, "Coating"),
  ...materialOperations("/api/films", "film", filmInputSchema, "Film"),
  ...materialOperations("/api/stocks", "stock solution", stockInputSchema, "Stock"),
  ...materialOperations("/api/tablets", "tablet", tabletInputSchema, "OwnTablet"),
  "GET /api/tablets/{id}/in-light": {
    summary: "The tablet as a test's request carries it, in the studio's own light",
    gives: "TabletInLight",
    troubles: [404],
  },
  "POST /api/tablets/{id}/calibrations": {
    summary: "Finds the tablet's densities in the studio's light from its prints, and keeps them",
    body: tabletCalibrationSchema,
    status: 201,
    gives: "CalibratedTablet",
    troubles: [404, 413, 415],
  },
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
  "POST /api/evenness": {
    summary: "Maps a lamp's light over its bed from a print",
    form: { files: [photo, { name: "evenLight", isRequired: false }], request: evennessRequestSchema },
    gives: "Evenness",
    troubles: pictureTroubles,
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
  "POST /api/sun/exposures": {
    summary: "When to bring a print in from the sun",
    body: sunExposureRequestSchema,
    gives: "SunExposure",
    troubles: [413, 415],
  },
  "GET /api/sun/anchors": { summary: "Lists kept sun exposures that fix the scale", gives: ["SunAnchor"] },
  "POST /api/sun/anchors": {
    summary: "Keeps a sun exposure as an anchor",
    body: sunAnchorInputSchema,
    status: 201,
    gives: "SunAnchor",
    troubles: [413, 415],
  },
  "GET /api/sun/anchors/{id}": { summary: "Shows one anchor", gives: "SunAnchor", troubles: [404] },
  "DELETE /api/sun/anchors/{id}": { summary: "Forgets an anchor", status: 204, troubles: [404] },
  "POST /api/sun/day-plans": {
    summary: "Lays a queue of negatives over the sun of one day",
    body: sunDayRequestSchema,
    gives: "SunDay",
  },
  "GET /api/sun/frames": { summary: "Lists frames outside, then those brought in", gives: ["SunFrame"] },
  "POST /api/sun/frames": {
    summary: "Puts a frame outside by a plan",
    body: beginSunFrameSchema,
    status: 201,
    gives: "SunFrame",
  },
  "GET /api/sun/frames/{id}": {
    summary: "Shows one frame and what it has had by now",
    gives: "SunFrame",
    troubles: [404],
  },
  "PATCH /api/sun/frames/{id}": {
    summary: "Sets a frame right: start, end, hidden sun, turns, name",
    body: sunFramePatchSchema,
    gives: "SunFrame",
    troubles: [404],
  },
  "DELETE /api/sun/frames/{id}": { summary: "Forgets a frame", status: 204, troubles: [404] },
  "GET /api/sun/frames/{id}/calendar.ics": {
    summary: "The time to bring a frame in, as a calendar file that calls",
    gives: { files: ["text/calendar"] },
    troubles: [404],
  },
  "POST /api/sun/frames/{id}/witness": {
    summary: "Gives a frame the dose that the witness strip beside it tells",
    body: witnessRequestSchema,
    gives: "SunFrame",
    troubles: [404],
  },
  "POST /api/sun/frames/{id}/anchor": {
    summary: "Judges the dry print of a frame and keeps its exposure as an anchor",
    body: judgeSunFrameSchema,
    status: 201,
    gives: "SunAnchor",
    troubles: [404],
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
