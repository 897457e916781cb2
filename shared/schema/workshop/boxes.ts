// Several boxes in one table: the time of one paper under each, and how they stand to one of them.
import { z } from "zod";
import { numberOrNull, textOrNull } from "#shared/schema/answers/common.ts";

export const boxTableQuerySchema = z.object({
  supportId: z.string().min(1, "choose the paper or fabric"),
  coatingId: z.string().min(1, "choose the coating"),
  filmId: z.string().optional(),
  /** The box that the others are held against; the first with a tested time when absent. */
  referenceLampId: z.string().optional(),
  /** Share of net D-max that clear film shall reach; what is usual when absent. */
  share: z.coerce.number("give a share such as 0.9").min(0.5).max(0.99).optional(),
});
export type BoxTableQuery = z.infer<typeof boxTableQuerySchema>;

const rangeSchema = z.object({ value: z.number(), lower: z.number(), upper: z.number() });

export const boxTableSchema = z.object({
  supportId: z.string(),
  coatingId: z.string(),
  filmId: textOrNull,
  referenceLampId: textOrNull,
  targetShare: z.number(),
  boxes: z.array(
    z.object({
      lampId: z.string(),
      name: z.string(),
      seconds: numberOrNull,
      lowerSeconds: numberOrNull,
      upperSeconds: numberOrNull,
      /** 95 % range of the next print; null where no time is given. */
      nextPrint: z.object({ lowerSeconds: z.number(), upperSeconds: z.number() }).nullable(),
      source: z.enum(["tested", "pooled", "transferred", "predicted", "unknown"]),
      /** Tests of this box contradict each other: no time is to be printed by. */
      isDisputed: z.boolean(),
      /** Time under this box over that under the reference, with its 95 % range; null where one has no time. */
      factor: rangeSchema.nullable(),
    }),
  ),
});
export type BoxTable = z.infer<typeof boxTableSchema>;
