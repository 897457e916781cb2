// A strip that was photographed again after washes, or after days in light, and what its steps lost.
import { z } from "zod";
import { channelSchema, storedShape, textOrNull } from "#shared/schema/answers/common.ts";
import { linesSchema } from "#shared/schema/plain-text.ts";
import { cornersSchema } from "#shared/schema/reading.ts";
import { plainWarningSchema } from "./plain-warning.ts";

const daySchema = z.iso.date({ error: "write the day as 2026-05-01" });
const washesSchema = z.number().min(0, "a number of washes is 0 or more").max(10_000);
const lightDaysSchema = z.number().min(0, "days in light are 0 or more").max(100_000);

/** What is known about a strip when it is photographed again. */
export const fadingRequestSchema = z.object({
  /** Washes since the test was read first. */
  washes: washesSchema.default(0),
  /** Days that it hung in light since then. */
  lightDays: lightDaysSchema.default(0),
  /** Day of the photo; today when absent. */
  madeOn: daySchema.optional(),
  notes: linesSchema().max(1000).default(""),
  corners: cornersSchema.optional(),
});
export type FadingRequest = z.infer<typeof fadingRequestSchema>;

/** What may be changed of a later reading; new corners read its picture again, null finds the strip anew. */
export const fadingChangeSchema = z
  .object({
    washes: washesSchema,
    lightDays: lightDaysSchema,
    madeOn: daySchema,
    notes: linesSchema().max(1000),
    corners: cornersSchema.nullable(),
  })
  .partial();
export type FadingChange = z.infer<typeof fadingChangeSchema>;

const fadedStepSchema = z.object({ index: z.int(), red: z.number(), visual: z.number(), sigma: z.number() });

/** What the store keeps of one such reading. */
export const fadingRecordSchema = z.object({
  washes: washesSchema,
  lightDays: lightDaysSchema,
  madeOn: z.string(),
  notes: z.string(),
  /** Where the strip lies in the picture; null for what was kept before this was. */
  corners: cornersSchema.nullable().default(null),
  steps: z.array(fadedStepSchema),
  warnings: z.array(plainWarningSchema),
});
export type FadingRecord = z.infer<typeof fadingRecordSchema>;

export interface FadingReading extends FadingRecord {
  readonly id: string;
  readonly createdAt: string;
  readonly testId: string;
  readonly pictureId: string;
}

/** What fading is held against. */
const fadingAxes = ["washes", "lightDays"] as const;
export type FadingAxis = (typeof fadingAxes)[number];

export const fadingQuerySchema = z.object({
  over: z.enum(fadingAxes).optional(),
  /** Washes or days that are asked for; as far as was measured when absent. */
  after: z.coerce.number().min(0).max(100_000).optional(),
});
export type FadingQuery = z.infer<typeof fadingQuerySchema>;

const rangeSchema = z.object({ value: z.number(), lower: z.number(), upper: z.number() });

export const fadingSchema = z.object({
  testId: z.string(),
  channel: channelSchema,
  over: z.enum(fadingAxes),
  /** First the test's own reading, whose id is null, then the later ones. */
  readings: z.array(
    fadingRecordSchema.extend({ ...storedShape, id: textOrNull, testId: z.string(), pictureId: z.string() }),
  ),
  after: z.number(),
  steps: z.array(
    z.object({
      index: z.int(),
      points: z.array(z.object({ at: z.number(), density: z.number(), sigma: z.number() })),
      curve: z
        .object({
          startDensity: z.number(),
          /** Share lost by each wash or day, in natural logarithms; 95 %. */
          rate: rangeSchema,
          /** Washes or days to half the density; null where no loss was told from none. */
          half: rangeSchema.nullable(),
          /** What is left after what was asked for. */
          left: z.object({ density: rangeSchema, share: rangeSchema }),
          samples: z.array(z.object({ at: z.number(), density: z.number(), lower: z.number(), upper: z.number() })),
        })
        .nullable(),
      refusal: plainWarningSchema.nullable(),
    }),
  ),
  warnings: z.array(plainWarningSchema),
});
export type Fading = z.infer<typeof fadingSchema>;

export const fadingReadingSchema = fadingRecordSchema.extend({
  ...storedShape,
  testId: z.string(),
  pictureId: z.string(),
});
