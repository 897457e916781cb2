// What changed in the studio from one day on.
import { z } from "zod";
import { lineSchema } from "./plain-text.ts";

export const studioChangeSchema = z.object({
  /**
   * "tubes": new tubes or diodes; "glass": glass or reflector cleaned or changed; "lot": new paper lot, bottle or
   * batch; "other".
   */
  kind: z.enum(["tubes", "glass", "lot", "other"], "say what changed"),
  scope: z.enum(["lamp", "support", "coating"], "say what it concerns"),
  scopeId: z.string().min(1, "say what it concerns").max(64),
  /** First day of the new. */
  at: z.iso.date("give the first day of the new, such as 2026-05-01"),
});
export type StudioChangeInput = z.infer<typeof studioChangeSchema>;

/** PUT /api/tests/{id}/counting. */
export const countingSchema = z.object({
  /** Why the test is left out of the times; null: it counts. */
  leftOutReason: lineSchema().min(1, "say why it is left out, or send null").max(200).nullable(),
});

/** What of a test is answered there, and by GET /api/left-out. */
export const testCountingSchema = countingSchema.extend({ testId: z.string() });

/** A change as it is kept. */
export const notedChangeSchema = studioChangeSchema.extend({ id: z.string() });
export type StudioChange = z.infer<typeof notedChangeSchema>;
