// How a backup is to be taken in.
import { z } from "zod";

const yesNoSchema = z.enum(["true", "false"]);

export const restoreQuerySchema = z.object({
  /** "true": only look into it; the answer carries an `id` by which it can be restored within half an hour. */
  preview: yesNoSchema.optional(),
  /** "true": take the rest of a backup in which pictures are damaged or missing. */
  acceptDamaged: yesNoSchema.optional(),
});
