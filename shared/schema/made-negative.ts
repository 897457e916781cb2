// A negative that was made here: what it was made from, and the curve that it went through, for good.
import { z } from "zod";
import { correctionTargetSchema } from "./correction.ts";
import { negativeRequestSchema } from "./negative.ts";
import { lineSchema, linesSchema } from "./plain-text.ts";

export const madeNegativeInputSchema = z.object({
  /** The request as it was, file and crop included. */
  request: negativeRequestSchema,
  target: correctionTargetSchema,
  /** Name of the picture's file; empty where none came. */
  pictureName: lineSchema().max(200).default(""),
  /** Size of the printed picture [mm]. */
  widthMm: z.number(),
  heightMm: z.number(),
  sheets: z.int(),
  /** The curve: level sent for each wanted level, 256 numbers. */
  levels: z.array(z.number()).length(256),
  /** A name for its settings, to choose them again; empty when they have none. */
  settingsName: lineSchema().max(80).default(""),
  notes: linesSchema().max(2000).default(""),
});
export type MadeNegativeInput = z.infer<typeof madeNegativeInputSchema>;

/** PATCH: what can be changed of it. */
export const madeNegativePatchSchema = z.object({
  settingsName: lineSchema().max(80).optional(),
  notes: linesSchema().max(2000).optional(),
});
export type MadeNegativePatch = z.infer<typeof madeNegativePatchSchema>;

export interface MadeNegative extends MadeNegativeInput {
  readonly id: string;
  readonly createdAt: string;
}
