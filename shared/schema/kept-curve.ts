// Tone curves that are kept: each with its date and the prints that it comes from, so that an older one can be used
// again.
import { z } from "zod";
import { correctionTargetSchema, targetTextSchema } from "./correction.ts";
import { lineSchema, linesSchema } from "./plain-text.ts";

/** Most points that a hand moves on one curve. */
const mostMoves = 12;

const moveSchema = z.object({
  /** Wanted grey level, between the ends, which stay. */
  level: z.number().min(1, "the ends of a curve stay").max(254, "the ends of a curve stay"),
  /** What is added there to the level to send. */
  byLevels: z.number().min(-128).max(128),
});
export type CurveMove = z.infer<typeof moveSchema>;

/** What the print is when its tones are judged. */
const printStates = ["plain", "toned", "bleached"] as const;

/** POST /api/curves. */
export const keepCurveSchema = z.object({
  name: lineSchema().max(120, "keep the name under 120 characters").default(""),
  notes: linesSchema().max(2000).default(""),
  /** The sheet or strip whose curve it is. */
  testId: z.string().min(1, "choose the test whose tone curve is to be kept").max(60),
  target: z.union([correctionTargetSchema, targetTextSchema]).default("lightness"),
  /** State of the print that the test's picture shows, and the curve is true for. */
  state: z.enum(printStates, { error: "the print is plain, toned or bleached" }).default("plain"),
  /** Another test, and how much of its curve is taken: 0 none, 1 all. */
  blend: z.object({ testId: z.string().min(1).max(60), share: z.number().min(0).max(1) }).nullish(),
  /** Points moved by hand; smooth between them, never falling. */
  moves: z.array(moveSchema).max(mostMoves, `move at most ${mostMoves} points`).default([]),
});
export type KeepCurve = z.infer<typeof keepCurveSchema>;

export const keptCurveInputSchema = keepCurveSchema.extend({
  target: correctionTargetSchema,
  /** Tests that its tones come from, newest first. */
  printIds: z.array(z.string()),
  /** The curve: level sent for each wanted level, 256 numbers. */
  levels: z.array(z.number()).length(256),
  /** L* that the print should have at each wanted level. */
  lightness: z.array(z.number()).length(256),
  archived: z.boolean().default(false),
});
export type KeptCurveInput = z.infer<typeof keptCurveInputSchema>;
export type KeptCurve = KeptCurveInput & {
  readonly id: string;
  readonly createdAt: string;
  readonly updatedAt: string;
};
