// Records that an older version wrote, read by today's schemas.
import type { z } from "zod";
import { testRequestSchema, type TestRequest } from "#shared/schema/test.ts";

/**
 * A record as today's schema has it. A field that an older version took and this one refuses, such as a distance of next to nothing, is
 * left out, so that one number cannot keep a page shut.
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
