// What the API answers, as schemas: for the OpenAPI document, and for the test that holds real answers against it.
import { z } from "zod";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { cornersSchema, pointPxSchema } from "#shared/schema/reading.ts";
import { testRequestSchema } from "#shared/schema/test.ts";

const stored = {
  id: z.string(),
  createdAt: z.iso.datetime({ offset: true }),
  updatedAt: z.iso.datetime({ offset: true }),
};
const orNull = <Schema extends z.ZodType>(schema: Schema) => z.union([schema, z.null()]);
const numberOrNull = orNull(z.number());

const warning = z.object({ code: z.string(), message: z.string() });
const channel = z.enum(["red", "visual"]);
const verdict = z.enum(["ok", "test-too-short", "test-too-long", "reversal", "unreliable"]);

const reading = z.object({
  image: z.object({ width: z.number(), height: z.number(), bitsPerChannel: z.number(), profile: z.string() }),
  location: z.object({ method: z.enum(["found", "given"]), corners: cornersSchema, confidence: z.number() }),
  steps: z.array(
    z.object({
      index: z.number(),
      input: z.number(),
      red: z.number(),
      visual: z.number(),
      lightness: z.number(),
      sigma: z.number(),
      sigmaVisual: z.number(),
      commonSigma: z.number().optional(),
      cameraSigma: z.number().optional(),
      centre: pointPxSchema,
      box: cornersSchema,
      flags: z.array(z.string()),
    }),
  ),
  warnings: z.array(warning),
  camera: z
    .object({
      toneKnown: z.boolean(),
      by: z.enum(["no-camera", "patches", "pictures", "assumption"]),
      gammaSigma: z.number(),
      flareShare: z.number(),
      flareSigma: z.number(),
    })
    .optional(),
});

const curvePoint = z.object({ logH: z.number(), density: z.number() });
const curve = z.looseObject({
  channel,
  family: z.string(),
  dMin: z.number(),
  dMax: z.number(),
  points: z.object({ toe: orNull(curvePoint), mid: orNull(curvePoint), shoulder: orNull(curvePoint) }),
  logExposureRange: numberOrNull,
  averageGradient: numberOrNull,
  samples: z.array(curvePoint.extend({ lower: z.number(), upper: z.number() })),
});

const exposure = z.object({
  seconds: numberOrNull,
  lowerSeconds: numberOrNull,
  upperSeconds: numberOrNull,
  targetShare: z.number(),
  filmDensity: z.number(),
  verdict,
  nextPrint: orNull(z.object({ lowerSeconds: z.number(), upperSeconds: z.number() })).optional(),
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
  compromise: orNull(
    z.object({ seconds: z.number(), darkLightnessLost: z.number(), lightLightnessLost: z.number() }),
  ).optional(),
  nextTestSeconds: numberOrNull,
  nextTests: z.array(z.object({ seconds: z.number(), chance: z.number() })).optional(),
  reasons: z.array(z.string()),
});

const test = z.looseObject({
  ...stored,
  updatedAt: z.string(),
  invented: z.boolean(),
  request: testRequestSchema,
  pictureId: z.string(),
  furtherPictures: z.object({ photos: z.array(z.string()), evenLight: orNull(z.string()) }),
  reading,
  curve: orNull(curve),
  exposure,
  warnings: z.array(warning),
  madeBy: z.string(),
});

const testSummary = z.looseObject({
  ...stored,
  updatedAt: z.string(),
  madeAt: z.string(),
  name: z.string(),
  invented: z.boolean(),
  lampId: z.string(),
  supportId: z.string(),
  coatingId: z.string(),
  filmId: orNull(z.string()),
  pictureId: z.string(),
  tabletKind: z.enum(["transmission", "timed", "levels", "sheet"]),
  channel,
  exposureSeconds: numberOrNull,
  exposure: exposure.omit({
    nextTestSeconds: true,
    nextTests: true,
    nextPrint: true,
    budget: true,
    depths: true,
    compromise: true,
    reasons: true,
  }),
  dMax: numberOrNull,
  logExposureRange: numberOrNull,
});

const exposureAnswer = z.object({
  lampId: z.string(),
  supportId: z.string(),
  coatingId: z.string(),
  filmId: orNull(z.string()),
  seconds: numberOrNull,
  lowerSeconds: numberOrNull,
  upperSeconds: numberOrNull,
  nextPrint: orNull(z.object({ lowerSeconds: z.number(), upperSeconds: z.number() })),
  targetShare: z.number(),
  filmDensity: z.number(),
  distanceMm: numberOrNull,
  source: z.enum(["tested", "pooled", "transferred", "predicted", "unknown"]),
  verdict: orNull(verdict),
  provenance: z.array(z.string()),
  testIds: z.array(z.string()),
  warnings: z.array(warning),
});

const withRange = orNull(z.object({ value: z.number(), lower: z.number(), upper: z.number() }));
const comparison = z.object({
  tests: z.array(z.looseObject({ id: z.string(), label: z.string(), channel, curve: orNull(curve) })),
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
      sentence: z.string(),
      warnings: z.array(warning),
    }),
  ),
});

/** By the name that the document gives them. */
export const answerSchemas = {
  Health: z.object({ ok: z.literal(true), version: z.string() }),
  Problem: z.looseObject({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    code: z.string().optional(),
    field: z.string().optional(),
  }),
  Lamp: lampInputSchema.extend(stored),
  Support: supportInputSchema.extend(stored),
  Coating: coatingInputSchema.extend(stored),
  Film: filmInputSchema.extend(stored),
  Reading: reading,
  Test: test,
  TestSummary: testSummary,
  Exposure: exposureAnswer,
  Comparison: comparison,
  Restored: z.object({
    createdAt: z.string(),
    version: z.string(),
    tests: z.int(),
    pictures: z.int(),
    missing: z.array(z.string()),
    damaged: z.array(z.string()),
    replaced: z.string(),
  }),
} as const;

export type AnswerName = keyof typeof answerSchemas;
