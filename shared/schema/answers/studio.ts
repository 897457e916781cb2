// What the routes of materials, prints, evenness, sharing and keeping answer.
import { z } from "zod";
import { printerInputSchema } from "#shared/schema/printers.ts";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { printInputSchema } from "#shared/schema/prints.ts";
import { cornersSchema } from "#shared/schema/reading.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import { tabletInputSchema } from "#shared/schema/tablets.ts";
import { numberOrNull, shareXySchema, storedShape, versionedShape, textOrNull, warningSchema } from "./common.ts";

export const lampSchema = lampInputSchema.extend(versionedShape);
export const supportSchema = supportInputSchema.extend(versionedShape);
export const coatingSchema = coatingInputSchema.extend(versionedShape);
export const filmSchema = filmInputSchema.extend(versionedShape);
export const stockSchema = stockInputSchema.extend(versionedShape);
export const ownTabletSchema = tabletInputSchema.extend(versionedShape);
export const printerSchema = printerInputSchema.extend(versionedShape);

/** A tablet as a test's request carries it, its densities in the studio's own light. */
export const tabletInLightSchema = z.object({
  kind: z.literal("transmission"),
  densities: z.array(z.number()),
  toleranceDensity: z.number(),
  scaleSigmaShare: z.number(),
  baseSigmaDensity: z.number(),
});

/** A tablet measured by its prints: as it is kept now, what the prints told, and the tests judged anew with it. */
export const calibratedTabletSchema = z.object({
  tablet: ownTabletSchema,
  testIds: z.array(z.string()),
  found: z.object({
    scale: z.number(),
    scaleSigma: z.number(),
    base: numberOrNull,
    baseSigma: numberOrNull,
    residualDensity: z.number(),
  }),
});

export const printSchema = printInputSchema.extend({ ...versionedShape, pictureId: textOrNull });
export const printPageSchema = z.object({ prints: z.array(printSchema), next: textOrNull });

/** A map as the core draws it. */
export const evennessMapSchema = z.object({
  kind: z.enum(["exposure", "tablets"]),
  columns: z.int(),
  rows: z.int(),
  stops: z.array(z.number()),
  percent: z.array(z.number()),
  worstToBestRatio: z.number(),
  worstToBestStops: z.number(),
  lowerStops: z.number().optional(),
  upperStops: z.number().optional(),
  zones: z.array(z.object({ x: z.number(), y: z.number(), stops: z.number(), sigmaStops: z.number() })).optional(),
  sigmaStops: z.number(),
  beyondStops: z.number(),
  noiseStops: z.number(),
  withinTenthShare: z.number(),
  best: shareXySchema,
  worst: shareXySchema,
  workArea: z.object({
    x: z.number(),
    y: z.number(),
    width: z.number(),
    height: z.number(),
    widthMm: numberOrNull,
    heightMm: numberOrNull,
  }),
  contours: z.array(
    z.object({ stops: z.number(), pieces: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])) }),
  ),
  places: z.array(z.object({ x: z.number(), y: z.number(), stops: z.number() })),
  lightFrom: z.enum(["even-light-picture", "paper-border", "paper-beside-tablets"]),
  corners: cornersSchema.nullable(),
  reasons: z.array(z.string()),
  warnings: z.array(warningSchema),
});

/** ... and as it is kept and answered. */
export const evennessSchema = evennessMapSchema.extend(storedShape);

export const importedSchema = z.object({
  from: z.object({ studio: z.string(), note: z.string(), sentOn: z.string() }).nullable(),
  tests: z.array(
    z.object({
      outcome: z.enum(["added", "already-here", "refused"]),
      id: textOrNull,
      name: z.string(),
      reason: z.string(),
    }),
  ),
  added: z.int(),
  alreadyHere: z.int(),
  refused: z.int(),
  materialsAdded: z.int(),
});

export const loadedSamplesSchema = z.object({ name: z.string(), added: z.int(), testIds: z.array(z.string()) });

const lostPicturesShape = { missing: z.array(z.string()), damaged: z.array(z.string()) };
const archiveShape = { createdAt: z.string(), version: z.string(), pictures: z.int(), ...lostPicturesShape };

export const restoredSchema = z.object({ ...archiveShape, tests: z.int(), replaced: z.string() });

/** A backup that was looked into, and waits for a yes. */
const heldBackupSchema = z.object({
  ...archiveShape,
  id: z.string(),
  format: z.int(),
  contents: z.object({ tests: z.int(), prints: z.int(), materials: z.int(), newestTestAt: textOrNull }),
});
export const restoreAnswerSchema = z.union([heldBackupSchema, restoredSchema]);

export const healthSchema = z.object({ ok: z.literal(true), version: z.string() });

/** RFC 9457, with a stable code and the field at fault. */
export const problemSchema = z.looseObject({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  code: z.string().optional(),
  field: z.string().optional(),
});

/** The OpenAPI 3.1 document itself. */
export const openApiSchema = z.looseObject({
  openapi: z.string(),
  info: z.looseObject({ title: z.string(), version: z.string() }),
  paths: z.record(z.string(), z.looseObject({})),
});
