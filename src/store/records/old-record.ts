// Records that an older version wrote, read by today's schemas.
import { z } from "zod";
import { warningSchema } from "#shared/schema/answers/common.ts";
import { curveSchema, exposureAdviceSchema } from "#shared/schema/answers/curve.ts";
import { readingSchema } from "#shared/schema/answers/reading.ts";
import type { Curve, ExposureAdvice } from "#shared/schema/curve.ts";
import type { Reading, Warning } from "#shared/schema/reading.ts";
import { testRequestSchema, type TestRequest } from "#shared/schema/test.ts";

/**
 * A record as today's schema has it. A field that an older version took and this one refuses, such as a distance of
 * next to nothing, is left out, so that one number cannot keep a page shut.
 * @throws ZodError when it cannot be read without that field either
 */
export function withoutWhatNoLongerFits<Input>(schema: z.ZodType<Input>, record: unknown): Input {
  const first = schema.safeParse(record);
  if (first.success) return first.data;
  if (typeof record !== "object" || record === null) throw first.error;
  const refused = new Set(first.error.issues.map((issue) => String(issue.path[0])));
  return schema.parse(Object.fromEntries(Object.entries(record).filter(([field]) => !refused.has(field))));
}

/** The request of a saved test. @throws ZodError when it is none */
export function readRequest(record: unknown): TestRequest {
  return withoutWhatNoLongerFits(testRequestSchema, record);
}

/** What a saved test holds beyond its request, as text. */
interface TestParts {
  readonly reading: Reading;
  readonly curve: Curve | null;
  readonly exposure: ExposureAdvice;
  readonly warnings: readonly Warning[];
}

const partSchemas = {
  reading: readingSchema,
  curve: curveSchema.nullable(),
  exposure: exposureAdviceSchema,
  warnings: z.array(warningSchema),
};

/**
 * The long parts of a saved test, held against the schemas of the answers. What the schemas do not know stays as it was
 * written.
 * @throws ZodError when a part is not what this version could show
 */
export function readTestParts(parts: Readonly<Record<keyof TestParts, unknown>>): TestParts {
  const whole = { ...parts, curve: withOldCurvesFilled(parts.curve) };
  for (const name of ["reading", "curve", "exposure", "warnings"] as const) partSchemas[name].parse(whole[name]);
  // Each part has just been proved by its schema, and none of its members may be lost.
  return whole as TestParts;
}

/** Curves of the first versions knew the uncertainty of the shoulder alone. */
function withOldCurvesFilled(curve: unknown): unknown {
  return typeof curve === "object" && curve !== null && !("shareSigmas" in curve)
    ? { ...curve, shareSigmas: [] }
    : curve;
}
