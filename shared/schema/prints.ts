// A print in work or finished: its run sheet with the times that were kept, and how it came out.
import { maxExposureSeconds } from "#shared/limits.ts";
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { procedureStepSchema } from "./procedures.ts";
import { shortestSeconds } from "./reading.ts";

const instantSchema = z.iso.datetime({
  offset: true,
  error: "write the time with its offset, such as 2026-05-01T14:30:00+02:00",
});

const runStepSchema = z.object({
  ...procedureStepSchema.shape,
  startedAt: instantSchema.nullable().default(null),
  endedAt: instantSchema.nullable().default(null),
  /** Since when it pauses; null while it runs, waits or is done. */
  pausedAt: instantSchema.nullable().default(null),
  /** How long it paused before, in all; not counted as time of the step. */
  pausedSeconds: z.number().min(0).max(864_000).default(0),
});
export type RunStep = z.infer<typeof runStepSchema>;

export const outcomeSchema = z.enum(["too-light", "right", "too-dark"]);
export type Outcome = z.infer<typeof outcomeSchema>;

export const printInputSchema = z.object({
  name: lineSchema().max(120, "keep the name under 120 characters").default(""),
  lampId: z.string().min(1, "choose the lamp"),
  supportId: z.string().min(1, "choose the paper or fabric"),
  coatingId: z.string().min(1, "choose the coating"),
  /** Batch of the coating; absent or null: not known. */
  batchId: z.string().min(1).max(64).nullish(),
  filmId: z.string().min(1).nullish(),
  /** Who printed it, where several share a studio. */
  printedBy: lineSchema().max(80, "keep the name under 80 characters").default(""),
  /** Time that the exposure was planned with. */
  exposureSeconds: z
    .number()
    .gt(0, "the time must be above 0 seconds")
    .min(shortestSeconds)
    .max(maxExposureSeconds, "no exposure takes more than ten days"),
  /** Time that the lamp is to cool after its last exposure before it is lit again; 0 for none. */
  coolDownSeconds: z.number().min(0).max(3600, "let it cool for an hour at most").default(0),
  /** What the calibration said when the print was planned; null when there was none. */
  advice: z
    .object({ seconds: z.number().gt(0), lowerSeconds: z.number().gt(0), upperSeconds: z.number().gt(0) })
    .nullish(),
  steps: z.array(runStepSchema).min(1, "a print needs at least one step").max(30),
  outcome: outcomeSchema.nullish(),
  notes: linesSchema().max(4000).default(""),
  /** Coated area and the sensitizer used for it; from both the area covered by a millilitre is learned. */
  areaCm2: z.number().min(0.1).max(1e6).nullish(),
  coatingMl: z.number().min(0.001).max(1e5).nullish(),
});
export type PrintInput = z.infer<typeof printInputSchema>;

/** How the exposure of a new print is gone about. */
const exposurePlanSchema = z.object({
  /** Parts that it is split into, with rests for the lamp to cool. */
  parts: z.int("give a whole number of parts").min(1, "an exposure has one part at least").max(10).default(1),
  restSeconds: z.number().gt(0, "a rest takes more than 0 seconds").max(7200, "rest two hours at most").default(300),
  /** Time that the lamp burns in before; 0 for none. */
  warmUpSeconds: z.number().min(0).max(3600, "warm up for an hour at most").default(0),
  /** What to hold back and what to give more, said while it runs. */
  note: linesSchema().max(400, "keep the plan under 400 characters").default(""),
});
export type ExposurePlan = z.infer<typeof exposurePlanSchema>;

/** A new print: the steps may be left out, then the coating's procedure (or the default one) is taken. */
export const printRequestSchema = printInputSchema.extend({
  steps: printInputSchema.shape.steps.optional(),
  plan: exposurePlanSchema.optional(),
});
export type PrintRequest = z.infer<typeof printRequestSchema>;

/** What may be sent to change a print. What is not sent stays, so nothing here has a default. */
export const printPatchSchema = printInputSchema
  .extend({
    name: printInputSchema.shape.name.unwrap(),
    printedBy: printInputSchema.shape.printedBy.unwrap(),
    coolDownSeconds: printInputSchema.shape.coolDownSeconds.unwrap(),
    notes: printInputSchema.shape.notes.unwrap(),
  })
  .partial();
export type PrintPatch = z.infer<typeof printPatchSchema>;

export interface SavedPrint extends PrintInput {
  readonly id: string;
  readonly createdAt: string;
  readonly updatedAt: string;
  readonly pictureId: string | null;
}
