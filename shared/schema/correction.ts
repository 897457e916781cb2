// The tone curve that the next negative needs, as the contract carries it.
import { z } from "zod";
import type { Warning } from "./reading.ts";

const targetPointSchema = z.object({
  /** Wanted grey level, 0-255, as a positive. */
  level: z.number().min(0).max(255),
  /** How light it shall print: 0 = the darkest blue, 100 = the lightest tone, evenly divided in L*. */
  percent: z.number().min(0).max(100),
});

/** What a print shall look like over the grey levels of a positive, in the state in which its sheet was read. */
const toneTargetSchema = z.union([
  z.enum(["lightness", "density"]),
  z
    .object({ points: z.array(targetPointSchema).min(2, "a target needs at least 2 points").max(64) })
    .refine(
      ({ points }) =>
        points.every(
          (point, index) =>
            index === 0 || (point.level > points[index - 1]!.level && point.percent >= points[index - 1]!.percent),
        ),
      {
        path: ["points"],
        error:
          "the points of a target must rise: each level above the one before it, no tone darker than the one before it",
      },
    ),
]);
export type ToneTarget = z.infer<typeof toneTargetSchema>;

const testIdSchema = z
  .string()
  .regex(/^[\w-]{1,60}$/, "name the toned print's test and that of the same print before, by their ids");

/** A print that is toned or bleached afterwards: even steps of L* then, as two tests of one print show. */
const tonedTargetSchema = z.object({
  /** Sheet or strip read after toning or bleaching. */
  tonedTestId: testIdSchema,
  /** The same print read before. */
  plainTestId: testIdSchema,
});
export type TonedTarget = z.infer<typeof tonedTargetSchema>;

/** What the finished print shall look like over the grey levels of a positive. */
export const correctionTargetSchema = z.union([...toneTargetSchema.options, tonedTargetSchema]);
export type CorrectionTarget = z.infer<typeof correctionTargetSchema>;

/** Before the two ids of a toned target in an address. */
const tonedWord = "toned:";

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

/** How an editor's curve tool joins the points that are typed into it. */
export const pointsTools = ["straight", "smooth"] as const;
export type PointsTool = (typeof pointsTools)[number];

/** What a list of points to type is for. */
export interface PointsWish {
  readonly tool: PointsTool;
  /** How far the tool's line may lie from the curve, grey levels; 0.5 at least, since points are whole numbers. */
  readonly withinLevels: number;
}

/** Whether a film suits its coating in the light of the test. Densities are ultraviolet densities of the film. */
export type FilmSuit =
  | { readonly code: "film-unknown" }
  | { readonly code: "film-fits"; readonly whiteFromLevel: number }
  | {
      readonly code: "film-dense";
      /** Lowest grey level that prints as the lightest tone. */
      readonly whiteFromLevel: number;
      /** Share of the ink that can be spared, 0-1. */
      readonly lessInkShare: number;
      /** Grey levels that the picture gains by it. */
      readonly levelsGained: number;
      /** How much denser the film is than needed; null where no tablet was printed with the sheet. */
      readonly excessDensity: number | null;
    }
  | { readonly code: "film-short"; readonly veilDensity: number; readonly shortDensity: number | null };

/** One pair of whole numbers to type into an editor's curve tool. */
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
  /** As few as the wish allows, ends included. */
  readonly points: readonly CorrectionPoint[];
  readonly pointsTool: PointsTool;
  /** Largest distance between what the tool draws through `points` and `levels`, grey levels. */
  readonly pointsWithinLevels: number;
  /** The measured tone scale, smooth and rising, for each grey level 0-255. */
  readonly measured: { readonly lightness: readonly number[]; readonly density: readonly number[] };
  /** What the corrected print should measure for each wanted level, L*. */
  readonly wantedLightness: readonly number[];
  /** The tones as read, replicates averaged. */
  readonly tones: readonly Tone[];
  readonly warnings: readonly Warning[];
}

const targetWords =
  "write lightness, density, or points such as 0:0,128:60,255:100 (grey level : percent of the way from the " +
  "darkest blue to paper, in L*)";

/**
 * A target as written in an address: "lightness", "density", points "0:0,128:60,255:100", or "toned:" with the ids of
 * the toned print's test and of the same print's before.
 */
export const targetTextSchema = z
  .string()
  .max(2000)
  .transform((text, context): unknown => {
    if (!text.includes(":")) return text;
    if (text.startsWith(tonedWord)) {
      const [tonedTestId, plainTestId, ...more] = text.slice(tonedWord.length).split(",");
      return more.length === 0 ? { tonedTestId, plainTestId } : text;
    }
    const points = text
      .split(",")
      .map((pair) => pair.split(":").map((part) => (part.trim() === "" ? NaN : Number(part))));
    if (points.some((pair) => pair.length !== 2 || pair.some((part) => !Number.isFinite(part)))) {
      context.addIssue({ code: "custom", message: targetWords });
      return z.NEVER;
    }
    return { points: points.map(([level, percent]) => ({ level, percent })) };
  })
  .pipe(
    z.union(correctionTargetSchema.options, {
      error: (issue) => (typeof issue.input === "string" ? targetWords : undefined),
    }),
  );

/** Materials of the next print, where they are not those of the calibration. */
export const plannedUseSchema = z.object({
  lampId: z.string().max(60).optional(),
  supportId: z.string().max(60).optional(),
  coatingId: z.string().max(60).optional(),
  filmId: z.string().max(60).optional(),
});
export type PlannedUse = z.infer<typeof plannedUseSchema>;

/** GET /api/tests/{id}/correction and its files. */
export const correctionQuerySchema = z.object({
  target: targetTextSchema.default("lightness"),
  levels: z.coerce
    .number()
    .refine((count) => count === 256 || count === 65_536, "ask for 256 or 65536 levels")
    .default(256),
  /** How the editor's curve tool joins the points to type. */
  pointsTool: z.enum(pointsTools).default("straight"),
  /** How far its line may lie from the curve, grey levels. */
  pointsWithin: z.coerce.number().min(0.5).max(8).default(1),
  /** Number channels of the ICC file: "grey" or "rgb" (the same curve for red, green and blue). */
  space: z.enum(["grey", "rgb"]).default("grey"),
  ...plannedUseSchema.shape,
});

/** The conditions that a correction is true for. */
export interface Calibration {
  readonly testId: string;
  readonly testName: string;
  readonly madeAt: string;
  readonly lamp: string;
  readonly support: string;
  readonly coating: string;
  /** Film and the device that prints on it; empty when none was named. */
  readonly film: string;
  readonly device: string;
  readonly exposureSeconds: number | null;
  readonly invented: boolean;
  readonly madeBy: string;
}
