// A day's plan: a queue of negatives laid over the sun of one day.
import { z } from "zod";
import { lineSchema } from "#shared/schema/plain-text.ts";
import { sunExposureRequestSchema } from "./exposure.ts";

/** Most negatives in one day's plan. */
export const mostNegatives = 12;

const minutesSchema = z.number().int("whole minutes").min(0, "minutes cannot be below 0").max(60, "an hour at most");

export const sunDayRequestSchema = z.object({
  /** Place, frame and sky; `startAt` is when the work may begin. What it is scaled by comes from each negative. */
  plan: sunExposureRequestSchema,
  negatives: z
    .array(
      z.object({
        name: lineSchema().min(1, "give each negative a name").max(80, "keep the name under 80 characters"),
        /** What its time is scaled by: prints of its paper, coating and film, or a dose. */
        anchorTestIds: z.array(z.string().min(1)).max(20).optional(),
        anchorIds: z.array(z.string().min(1)).max(20).optional(),
        dose: z.number().positive().max(1e9).optional(),
      }),
    )
    .min(1, "name at least one negative")
    .max(mostNegatives, `at most ${mostNegatives} negatives a day`),
  frames: z.number().int().min(1, "at least one frame").max(20, "at most 20 frames").default(1),
  hands: z.number().int().min(1, "at least one person").max(10, "at most 10 people").default(1),
  loadMinutes: minutesSchema.default(3),
  emptyMinutes: minutesSchema.default(2),
});
export type SunDayRequest = z.infer<typeof sunDayRequestSchema>;

export interface SunDayPlace {
  readonly name: string;
  readonly frame: number;
  readonly outAt: string;
  readonly inAt: string;
  readonly seconds: number;
  /** 95 % range; null with a time where the slower end is not reached before sunset. */
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
}

export interface SunDayAnswer {
  readonly date: string;
  readonly timeZone: string;
  /** The sun stands high enough until then. */
  readonly untilAt: string | null;
  readonly places: readonly SunDayPlace[];
  /** Negatives that do not fit before the sun sinks, and those without a time. */
  readonly leftOver: readonly { readonly name: string; readonly why: string }[];
}
