// Who is next at a box.
import { z } from "zod";
import { versionedShape } from "#shared/schema/answers/common.ts";
import { lineSchema } from "#shared/schema/plain-text.ts";

export const queueEntryInputSchema = z.object({
  who: lineSchema().min(1, "say who is waiting").max(80, "keep the name under 80 characters"),
  /** The box that is waited for; any when absent. */
  lampId: z.string().min(1).max(64).nullish(),
  what: lineSchema().max(200, "keep it under 200 characters").default(""),
});
export type QueueEntryInput = z.infer<typeof queueEntryInputSchema>;

/** What may be done to an entry: changed words, a place further up or down, or done and back again. */
export const queueChangeSchema = z.object({
  who: queueEntryInputSchema.shape.who.optional(),
  lampId: queueEntryInputSchema.shape.lampId,
  what: queueEntryInputSchema.shape.what.unwrap().optional(),
  move: z.enum(["up", "down"], { error: "move it up or down" }).optional(),
  state: z.enum(["waiting", "done"], { error: "an entry is waiting or done" }).optional(),
});
export type QueueChange = z.infer<typeof queueChangeSchema>;

export const queueQuerySchema = z.object({
  /** Only who waits for this box, or for any. */
  lampId: z.string().max(64).optional(),
  state: z.enum(["waiting", "done"]).default("waiting"),
});

export const queueEntrySchema = queueEntryInputSchema.extend({
  ...versionedShape,
  /** Counts up; the lowest is next. */
  place: z.int(),
  state: z.enum(["waiting", "done"]),
});
export type QueueEntry = z.infer<typeof queueEntrySchema>;
