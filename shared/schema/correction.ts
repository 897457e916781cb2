// The tone curve that the next negative needs, as the contract carries it.
import { z } from "zod";
import type { Warning } from "./reading.ts";

const targetPointSchema = z.object({
  /** Wanted grey level, 0-255, as a positive. */
  level: z.number().min(0).max(255),
  /** How light it shall print: 0 = the darkest blue, 100 = the lightest tone, evenly divided in L*. */
  percent: z.number().min(0).max(100),
});

/** What the finished print shall look like over the grey levels of a positive. */
export const correctionTargetSchema = z.union([
  z.enum(["lightness", "density"]),
  z
    .object({ points: z.array(targetPointSchema).min(2, "a target needs at least 2 points").max(64) })
    .refine(({ points }) => points.every((point, index) => index === 0 || (point.level > points[index - 1]!.level && point.percent >= points[index - 1]!.percent)), {
      path: ["points"],
      error: "the points of a target must rise: each level above the one before it, no tone darker than the one before it",
    }),
]);
export type CorrectionTarget = z.infer<typeof correctionTargetSchema>;

/** One tone of the printed strip or sheet, replicates already averaged or not. */
export interface Tone {
  /** Grey level as a positive: 0 wants the darkest blue, 255 paper white. */
  readonly level: number;
  /** L* of the print, 0-100. */
  readonly lightness: number;
  /** Visual density above paper. */
  readonly density: number;
  /** Standard uncertainty of `density`. */
  readonly sigma: number;
}

/** One pair to type into an editor's curve tool; straight lines between. */
export interface CorrectionPoint {
  /** Wanted grey level, 0-255. */
  readonly input: number;
  /** Grey level to send, 0-255. */
  readonly output: number;
}

export interface Correction {
  /** Plain name of the target: "lightness", "density" or "points". */
  readonly target: "lightness" | "density" | "points";
  /** 256 numbers: the grey level to send to the film printer, as a positive, for each wanted level. */
  readonly levels: readonly number[];
  /** At most 14, ends included. */
  readonly points: readonly CorrectionPoint[];
  /** Largest distance between the lines through `points` and `levels`, grey levels. */
  readonly pointsWithinLevels: number;
  /** The measured tone scale, smooth and rising, for each grey level 0-255. */
  readonly measured: { readonly lightness: readonly number[]; readonly density: readonly number[] };
  /** What the corrected print should measure for each wanted level, L*. */
  readonly wantedLightness: readonly number[];
  /** The tones as read, replicates averaged. */
  readonly tones: readonly Tone[];
  readonly warnings: readonly Warning[];
}
