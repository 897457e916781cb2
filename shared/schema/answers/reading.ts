// What a reading answers, and how it is kept with its test.
import { z } from "zod";
import { cornersSchema, pointPxSchema } from "#shared/schema/reading.ts";
import { textOrNull, warningSchema } from "./common.ts";

const stepSchema = z.object({
  index: z.int(),
  input: z.number(),
  red: z.number(),
  green: z.number().optional(),
  blue: z.number().optional(),
  visual: z.number(),
  lightness: z.number(),
  sigma: z.number(),
  sigmaVisual: z.number(),
  commonSigma: z.number().optional(),
  cameraSigma: z.number().optional(),
  centre: pointPxSchema,
  box: cornersSchema,
  flags: z.array(z.string()),
});

/** Only of a wedge sheet. */
const sheetSchema = z.object({
  layout: z.object({ version: z.number(), levels: z.int(), replicates: z.int(), widthMm: z.number() }),
  correctionMark: textOrNull,
  mirrored: z.boolean(),
  inverted: z.boolean(),
  registration: z.enum(["code-and-marks", "marks", "corners"]),
  unevenness: z.object({
    columns: z.int(),
    rows: z.int(),
    percent: z.array(z.number()),
    worstPercent: z.number(),
  }),
  patches: z.array(z.object({ index: z.int(), red: z.number(), box: cornersSchema, leftOut: z.boolean() })),
  /** What densities count from. */
  zero: z
    .union([
      z.object({ of: z.literal("own-white") }),
      z.object({ of: z.literal("bare-paper"), veilRed: z.number(), sigma: z.number() }),
    ])
    .optional(),
});

export const readingSchema = z.object({
  image: z.object({ width: z.int(), height: z.int(), bitsPerChannel: z.int(), profile: z.string() }),
  location: z.object({
    method: z.enum(["found", "given"]),
    corners: cornersSchema,
    confidence: z.number(),
    looksLikeSteps: z.int().optional(),
  }),
  camera: z
    .object({
      toneKnown: z.boolean(),
      by: z.enum(["no-camera", "patches", "pictures", "assumption"]),
      isSupposed: z.boolean().optional(),
      gammaSigma: z.number(),
      flareShare: z.number(),
      flareSigma: z.number(),
    })
    .optional(),
  instrument: z
    .object({
      quantity: z.enum(["red-density", "visual-density", "lab", "xyz", "spectra"]),
      redScale: z.enum(["linear-srgb", "red-filter", "none"]),
      visualMeasured: z.boolean(),
      scaleName: textOrNull,
      sigmaDensity: z.number(),
      camera: z
        .object({
          red: z.array(z.number()),
          rmsDensity: z.number(),
          worstDensity: z.number(),
          worstStep: z.int(),
          ratio: z.number(),
        })
        .nullable(),
    })
    .optional(),
  steps: z.array(stepSchema),
  coatingBeside: z
    .array(
      z.object({
        place: z.number(),
        side: z.enum(["above", "below"]),
        red: z.number(),
        visual: z.number(),
        sigma: z.number(),
      }),
    )
    .optional(),
  warnings: z.array(warningSchema),
  sheet: sheetSchema.optional(),
});
