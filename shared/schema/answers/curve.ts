// Curve and advice as they are answered and kept. A new member is one line here; what older versions did not write is
// optional.
import { z } from "zod";
import { channelSchema, numberOrNull, verdictSchema } from "./common.ts";

const pointShape = { logH: z.number(), density: z.number() };
const pointSchema = z.object(pointShape);
const shareSigmaSchema = z.object({
  share: z.number(),
  logH: numberOrNull.optional(),
  sigmaLogH: numberOrNull,
  variances: z.array(z.object({ source: z.string(), variance: z.number() })).optional(),
});

export const curveSchema = z.object({
  channel: channelSchema,
  family: z.string(),
  dMin: z.number(),
  dMax: z.number(),
  points: z.object({ toe: pointSchema.nullable(), mid: pointSchema.nullable(), shoulder: pointSchema.nullable() }),
  logExposureRange: numberOrNull,
  averageGradient: numberOrNull,
  samples: z.array(z.object({ ...pointShape, lower: z.number(), upper: z.number() })),
  steps: z.array(
    z.object({
      ...pointShape,
      index: z.int(),
      sigma: z.number(),
      leftOut: z.enum(["reversal", "wild", "flagged"]).nullable(),
    }),
  ),
  sigmaLogH: z.object({ toe: numberOrNull, shoulder: numberOrNull }),
  shareSigmas: z.array(shareSigmaSchema),
  reachedSigmas: z.array(shareSigmaSchema).optional(),
  parameters: z.array(z.number()),
  covariance: z.array(z.array(z.number())),
  residualDensity: z.number(),
  degreesOfFreedom: z.number(),
  coatingSlope: z.object({ share: z.number(), sigmaShare: z.number(), isBeside: z.boolean().optional() }).optional(),
  reversalFromLogH: numberOrNull,
});

/** The time with its range, as lists show it too. */
const exposureShape = {
  seconds: numberOrNull,
  lowerSeconds: numberOrNull,
  upperSeconds: numberOrNull,
  targetShare: z.number(),
  filmDensity: z.number(),
  verdict: verdictSchema,
};
export const exposureSummarySchema = z.object(exposureShape);

export const exposureAdviceSchema = z.object({
  ...exposureShape,
  nextTestSeconds: numberOrNull,
  nextTests: z.array(z.object({ seconds: z.number(), chance: z.number() })).optional(),
  nextPrint: z.object({ lowerSeconds: z.number(), upperSeconds: z.number() }).nullable().optional(),
  budget: z.array(z.object({ source: z.string(), stops: z.number() })).optional(),
  depths: z
    .array(
      z.object({
        kind: z.enum(["share", "no-deeper-to-the-eye"]),
        share: z.number(),
        seconds: numberOrNull,
        lowerSeconds: numberOrNull,
        upperSeconds: numberOrNull,
        lightnessMissing: z.number(),
      }),
    )
    .optional(),
  compromise: z
    .object({ seconds: z.number(), darkLightnessLost: z.number(), lightLightnessLost: z.number() })
    .nullable()
    .optional(),
  reasons: z.array(z.string()),
});
