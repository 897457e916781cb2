// What the studio is called: it stands on the log and in the names of files that leave the house.
import { z } from "zod";
import { lineSchema, linesSchema } from "#shared/schema/plain-text.ts";

export type StudioFactName = "studio-name";

export const studioNameSchema = lineSchema().max(80, "keep the studio's name under 80 characters");

/** Who sends a file of calibrations, and what goes with it. */
export const senderSchema = z.object({
  studio: studioNameSchema.default(""),
  note: linesSchema().max(1000, "keep the note under 1000 characters").default(""),
  /** Day of sending, ISO; empty where it is not known. */
  sentOn: lineSchema().max(40).default(""),
});
export type Sender = z.infer<typeof senderSchema>;

export const studioSchema = z.object({ name: studioNameSchema.default("") });
export type Studio = z.infer<typeof studioSchema>;
