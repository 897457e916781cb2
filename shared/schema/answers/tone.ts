// What the routes of the tone curve answer: correction, check sheet, measured film, negative in the making.
import { z } from "zod";
import { madeNegativeInputSchema } from "#shared/schema/negative.ts";
import { correctionTargetSchema, pointsTools } from "#shared/schema/correction.ts";
import { keptCurveInputSchema } from "#shared/schema/kept-curve.ts";
import { numberOrNull, textOrNull, warningSchema } from "./common.ts";

const calibrationSchema = z.object({
  testId: z.string(),
  testName: z.string(),
  madeAt: z.string(),
  lamp: z.string(),
  support: z.string(),
  coating: z.string(),
  film: z.string(),
  device: z.string(),
  exposureSeconds: numberOrNull,
  invented: z.boolean(),
  madeBy: z.string(),
});

export const correctionSchema = z.object({
  target: z.enum(["lightness", "density", "points"]),
  levels: z.array(z.number()),
  points: z.array(z.object({ input: z.number(), output: z.number() })),
  pointsTool: z.enum(pointsTools),
  pointsWithinLevels: z.number(),
  measured: z.object({ lightness: z.array(z.number()), density: z.array(z.number()) }),
  wantedLightness: z.array(z.number()),
  tones: z.array(z.object({ level: z.number(), lightness: z.number(), density: z.number(), sigma: z.number() })),
  warnings: z.array(warningSchema),
  /** Whether the film suits; null where a figure does not belong to the code. */
  filmSuit: z.object({
    code: z.enum(["film-unknown", "film-fits", "film-dense", "film-short"]),
    message: z.string(),
    whiteFromLevel: numberOrNull,
    lessInkShare: numberOrNull,
    levelsGained: numberOrNull,
    excessDensity: numberOrNull,
    veilDensity: numberOrNull,
    shortDensity: numberOrNull,
  }),
  calibration: calibrationSchema,
});

const residualSchema = z.object({
  tones: z.array(
    z.object({
      level: z.number(),
      lightness: z.number(),
      wantedLightness: z.number(),
      difference: z.number(),
      sigma: z.number(),
    }),
  ),
  mean: z.number(),
  worst: z.number(),
});

export const sheetCheckSchema = z.object({
  testId: z.string(),
  throughTestId: z.string(),
  throughTestName: z.string(),
  target: z.enum(["lightness", "density"]),
  before: residualSchema,
  after: residualSchema,
  refinedLevels: z.array(z.number()),
  largestChangeLevels: z.number(),
  isStraight: z.boolean(),
  advice: z.string(),
});

export const measuredFilmSchema = z.object({
  levels: z.array(
    z.object({
      level: z.number(),
      filmDensity: z.number(),
      sigmaDensity: numberOrNull,
      bound: z.enum(["exact", "at-most", "at-least"]),
    }),
  ),
  baseDensity: numberOrNull,
  baseSigmaDensity: numberOrNull,
  maxDensity: numberOrNull,
  warnings: z.array(warningSchema),
  throughTestId: z.string(),
  isSideBySide: z.boolean(),
});

export const madeNegativeSchema = z.object({
  ...madeNegativeInputSchema.shape,
  // As it is kept, read from its text already: the document would describe the same object twice otherwise.
  request: madeNegativeInputSchema.shape.request.safeExtend({ target: correctionTargetSchema }),
  id: z.string(),
  createdAt: z.string(),
});

export const madeNegativesSchema = z.object({ negatives: z.array(madeNegativeSchema) });

export const negativeProgressSchema = z.object({
  id: z.string(),
  state: z.enum(["working", "done", "failed", "cancelled"]),
  share: z.number(),
  file: textOrNull,
  fileName: textOrNull,
  madeId: textOrNull,
  detail: textOrNull,
  warnings: z.array(warningSchema),
});

export const inkReadingSchema = z.object({
  inks: z.array(
    z.object({
      ink: z.string(),
      fullDensity: z.number(),
      fullSigma: z.number(),
      whiteFrom: z.object({ likely: z.number(), lower: z.number(), upper: numberOrNull }).nullable(),
      film: z.array(
        z.object({
          amount: z.number(),
          filmDensity: z.number(),
          sigmaDensity: numberOrNull,
          bound: z.enum(["exact", "at-most", "at-least"]),
        }),
      ),
    }),
  ),
  /** Which figures there are hangs on the code. */
  finding: z.object({
    code: z.enum(["paper-unseen", "ink-enough", "ink-just-enough", "ink-short"]),
    ink: z.string().optional(),
    likely: z.number().optional(),
    lower: z.number().optional(),
    upper: z.number().optional(),
    veilDensity: z.number().optional(),
    shortDensity: numberOrNull.optional(),
  }),
  advice: z.string(),
  warnings: z.array(warningSchema),
});

export const keptCurveSchema = keptCurveInputSchema.extend({
  id: z.string(),
  createdAt: z.string(),
  updatedAt: z.string(),
});

const photogramAnswerSchema = z.object({
  density: z.number(),
  stops: z.number(),
  mid: z.object({ seconds: z.number(), lowerSeconds: z.number(), upperSeconds: z.number() }).nullable(),
  shoulderSeconds: numberOrNull,
  midDose: numberOrNull,
});

export const photogramPhotoAnswerSchema = z.object({
  spots: z.array(
    z.object({
      at: z.tuple([z.number(), z.number()]),
      printDensity: z.number(),
      sigma: z.number(),
      found: photogramAnswerSchema.nullable(),
      trouble: textOrNull,
    }),
  ),
  corners: z.array(z.tuple([z.number(), z.number()])),
  warnings: z.array(warningSchema),
});
