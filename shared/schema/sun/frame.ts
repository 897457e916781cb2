// Frames outside in the sun, kept by the server: running, brought in, judged.
import { z } from "zod";
import { lineSchema } from "#shared/schema/plain-text.ts";
import { sunSurroundingsShape } from "./conditions.ts";
import {
  cloudMinutesSchema,
  maxHidden,
  measuredDoseSchema,
  placeShape,
  planeShape,
  sunExposureRequestSchema,
  sunInstantSchema,
  turnsSchema,
} from "./exposure.ts";

const nameSchema = lineSchema().min(1, "give it a name").max(80, "keep the name under 80 characters");

/** A stretch in which a cloud hid the sun; null while it still does. */
const hiddenSchema = z
  .array(z.object({ fromAt: sunInstantSchema, untilAt: sunInstantSchema.nullable() }))
  .max(maxHidden, `at most ${maxHidden} hidden stretches`);

/** What may be set right afterwards. */
const changeableShape = {
  name: nameSchema,
  startedAt: sunInstantSchema,
  /** Null while it is outside. */
  endedAt: sunInstantSchema.nullable(),
  hidden: hiddenSchema,
  /** Minutes of hidden sun whose time nobody noted. */
  cloudMinutes: cloudMinutesSchema,
  /** How it was turned or glazed on the way. */
  turns: turnsSchema,
  /** What a witness strip beside it told; null where there was none. */
  measuredDose: measuredDoseSchema.nullable(),
};

export const sunFrameInputSchema = z
  .object({
    ...changeableShape,
    measuredDose: changeableShape.measuredDose.default(null),
    ...placeShape,
    ...planeShape,
    ...sunSurroundingsShape,
    timeZone: z.string().min(1).max(60),
    /** Wanted dose and its 95 % range [action-weighted J/m² of the model]. */
    dose: z.number().positive(),
    lowerDose: z.number().positive(),
    upperDose: z.number().positive(),
    anchorNames: z.array(z.string()),
    supportId: z.string().nullable(),
    coatingId: z.string().nullable(),
    filmId: z.string().nullable(),
    /** The anchor that its judged print became; null until then. */
    anchorId: z.string().nullable(),
  })
  .superRefine((frame, context) => {
    const startMs = Date.parse(frame.startedAt);
    const endMs = frame.endedAt === null ? Infinity : Date.parse(frame.endedAt);
    if (endMs <= startMs)
      context.addIssue({ code: "custom", path: ["endedAt"], message: "it must come in after it went out" });
    frame.hidden.forEach(({ fromAt, untilAt }, index) => {
      if (untilAt !== null && Date.parse(untilAt) < Date.parse(fromAt))
        context.addIssue({
          code: "custom",
          path: ["hidden", index, "untilAt"],
          message: "the sun came back before it was hidden",
        });
    });
  });
export type SunFrameInput = z.infer<typeof sunFrameInputSchema>;

/** A frame outside, or brought in. */
export type SunFrame = SunFrameInput & {
  readonly id: string;
  readonly createdAt: string;
  readonly updatedAt: string;
};

/** Puts a frame outside by a plan: the plan's fields and a name. It goes out at `startAt`. */
export const beginSunFrameSchema = z.object({ name: nameSchema, plan: sunExposureRequestSchema });
export type BeginSunFrame = z.infer<typeof beginSunFrameSchema>;

export const sunFramePatchSchema = z.object(changeableShape).partial();
export type SunFramePatch = z.infer<typeof sunFramePatchSchema>;

/** How the dry print came out, judged by eye. */
export const judgeSunFrameSchema = z.object({
  neededStops: z.number().min(-3, "judge within 3 stops").max(3, "judge within 3 stops"),
  name: lineSchema().max(120, "keep the name under 120 characters").optional(),
  /** Said when the exposure was far off its plan and is meant all the same. */
  sure: z.boolean().default(false),
});
export type JudgeSunFrame = z.infer<typeof judgeSunFrameSchema>;

/** What a frame has had at an instant. */
export interface SunFrameNow {
  readonly share: number;
  readonly lowerShare: number;
  readonly upperShare: number;
  readonly hiddenSeconds: number;
  readonly bringInAt: string | null;
  readonly earliestAt: string | null;
  readonly latestAt: string | null;
  readonly reachedAt: string | null;
  readonly stopsOver: number | null;
}

/** Which strip lay beside a frame, and by which test's curve its depths are told. */
export const witnessRequestSchema = z.object({
  /** A timed strip of the same coating, read from its picture, with place and start. */
  stripTestId: z.string().min(1, "name the strip's test"),
  /** A test of the same coating in clear sun. */
  curveTestId: z.string().min(1, "name a test in clear sun"),
  /** Whether its steps were uncovered one after the other and ended together, or began together and were covered. */
  order: z.enum(["uncovered", "covered"]).default("uncovered"),
});
export type WitnessRequest = z.infer<typeof witnessRequestSchema>;
export type MeasuredDose = z.infer<typeof measuredDoseSchema>;

export interface WitnessAnswer {
  readonly measuredDose: MeasuredDose;
  /** Share of what a clear sky would have given. */
  readonly clearShare: number;
  readonly toldSteps: number;
}
