// What happens to a print after the coating: exposure, baths, washes, drying, each with its time.
import { z } from "zod";
import { lineSchema, linesSchema } from "./plain-text.ts";

/** Longest time of one step that a timer counts: two days, in seconds. */
const longestStepSeconds = 172_800;

export const procedureStepSchema = z.object({
  name: lineSchema().min(1, "give the step a name").max(80, "keep the name of a step under 80 characters"),
  kind: z.enum(["exposure", "bath", "wash", "dry", "other"]).default("other"),
  /** Planned time; null when it ends by looking, as drying does. For the exposure the calibration's time is used. */
  seconds: z
    .number()
    .gt(0, "a step takes more than 0 seconds")
    .max(longestStepSeconds, "no step takes more than two days")
    .nullable(),
  note: linesSchema().max(400).default(""),
});
export type ProcedureStep = z.infer<typeof procedureStepSchema>;

export const procedureSchema = z
  .array(procedureStepSchema)
  .min(1, "a procedure needs at least one step")
  .max(30, "a procedure has at most 30 steps");
export type Procedure = z.infer<typeof procedureSchema>;
