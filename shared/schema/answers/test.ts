// What tests answer: one whole, a row of the list, the lookup and the comparison drawn from them.
import { z } from "zod";
import { testRequestSchema } from "#shared/schema/test.ts";
import {
  channelSchema,
  numberOrNull,
  versionedShape,
  tabletKindSchema,
  textOrNull,
  verdictSchema,
  warningSchema,
} from "./common.ts";
import { curveSchema, exposureAdviceSchema, exposureSummarySchema } from "./curve.ts";
import { readingSchema } from "./reading.ts";

const materialIdsShape = {
  lampId: z.string(),
  supportId: z.string(),
  coatingId: z.string(),
  filmId: textOrNull,
};

/** The fields of the request stand beside the rest too, under the names by which they were sent. */
export const testSchema = z.object({
  ...testRequestSchema.shape,
  ...versionedShape,
  invented: z.boolean(),
  request: testRequestSchema,
  pictureId: z.string(),
  furtherPictures: z.object({ photos: z.array(z.string()), evenLight: textOrNull }),
  reading: readingSchema,
  curve: curveSchema.nullable(),
  exposure: exposureAdviceSchema,
  warnings: z.array(warningSchema),
  madeBy: z.string(),
});

export const testSummarySchema = z.object({
  ...versionedShape,
  ...materialIdsShape,
  madeAt: z.string(),
  name: z.string(),
  invented: z.boolean(),
  pictureId: z.string(),
  tabletKind: tabletKindSchema,
  channel: channelSchema,
  exposureSeconds: numberOrNull,
  exposure: exposureSummarySchema,
  dMax: numberOrNull,
  logExposureRange: numberOrNull,
  madeBy: z.string(),
});

export const exposureAnswerSchema = z.object({
  ...materialIdsShape,
  seconds: numberOrNull,
  lowerSeconds: numberOrNull,
  upperSeconds: numberOrNull,
  nextPrint: z.object({ lowerSeconds: z.number(), upperSeconds: z.number() }).nullable(),
  targetShare: z.number(),
  filmDensity: z.number(),
  distanceMm: numberOrNull,
  source: z.enum(["tested", "pooled", "transferred", "predicted", "unknown"]),
  verdict: verdictSchema.nullable(),
  provenance: z.array(z.string()),
  testIds: z.array(z.string()),
  warnings: z.array(warningSchema),
});

const valueWithRange = z.object({ value: z.number(), lower: z.number(), upper: z.number() });
const withRange = valueWithRange.nullable();

export const comparisonSchema = z.object({
  tests: z.array(
    z.object({
      id: z.string(),
      label: z.string(),
      ...materialIdsShape,
      channel: channelSchema,
      bareSeconds: numberOrNull,
      curve: curveSchema.nullable(),
    }),
  ),
  pairs: z.array(
    z.object({
      firstId: z.string(),
      secondId: z.string(),
      speedRatio: withRange,
      timeRatio: withRange,
      logExposureRangeDifference: withRange,
      averageGradientDifference: withRange,
      dMaxDifference: withRange,
      dMinDifference: withRange,
      pooled: z
        .object({
          timeRatio: valueWithRange,
          firstSeconds: z.number(),
          secondSeconds: z.number(),
          firstTests: z.int(),
          secondTests: z.int(),
          sentence: z.string(),
        })
        .nullable(),
      sentence: z.string(),
      warnings: z.array(warningSchema),
    }),
  ),
});
