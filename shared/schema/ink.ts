// Ink sheets: what can be asked of one, and what its print answers.
import { z } from "zod";
import { cornersSchema } from "./reading.ts";
import { sheetPageShape, written } from "./sheet.ts";

/** Inks and mixtures of ours; the order is that of the sheet's code. */
const filmInkNameSchema = z.enum(
  ["black", "red", "green", "blue", "cyan", "magenta", "yellow", "orange", "olive", "brown", "violet", "moss"],
  { error: "this is no ink of the sheet" },
);
export type FilmInkName = z.infer<typeof filmInkNameSchema>;

/** GET /api/sheets/ink.pdf and .png. */
export const inkSheetRequestSchema = z.object({
  /** One ink, for how much of it is needed; several, for which blocks most. Names parted by commas, or repeated. */
  inks: z.preprocess(
    (value) =>
      [value ?? "black"]
        .flat()
        .flatMap((part) => (typeof part === "string" ? part.split(",") : [part]))
        .map((part) => (typeof part === "string" ? part.trim() : part))
        .filter((part) => part !== ""),
    z.array(filmInkNameSchema).min(1, "choose an ink at least").max(12),
  ),
  /** Amounts of each ink from none to all. */
  amounts: written(
    z.int("give a whole number").min(4, "at least 4 amounts of each ink").max(64, "at most 64 amounts of each ink"),
  ),
  ...sheetPageShape,
});
export type InkSheetRequest = z.infer<typeof inkSheetRequestSchema>;

/** POST /api/ink-sheets. */
export const inkReadingRequestSchema = z.object({
  /** Centres of the ring marks, where the sheet is not found by itself. */
  corners: cornersSchema.optional(),
  /** A tablet test of the same light, paper and coating: its curve tells densities; best printed on the same sheet. */
  curveTestId: z.string().max(60).optional(),
  /** The sheet's time; with a curve only. */
  exposureSeconds: z.number().gt(0, "the time must be above 0 seconds").max(864_000).optional(),
});
export type InkReadingRequest = z.infer<typeof inkReadingRequestSchema>;

/** One ink of a sheet. */
export interface InkOutcome {
  readonly ink: string;
  /** Red density of the print under all of the ink, above bare paper (above the sheet's own white without one). */
  readonly fullDensity: number;
  readonly fullSigma: number;
  /**
   * Least amount under which the paper stays white, as share of the ink, with its 95 % range; null where none does,
   * `upper` null where not even all of it surely does.
   */
  readonly whiteFrom: { readonly likely: number; readonly lower: number; readonly upper: number | null } | null;
  /** Ultraviolet density of the film at each amount; empty without a curve. */
  readonly film: readonly {
    readonly amount: number;
    readonly filmDensity: number;
    readonly sigmaDensity: number | null;
    readonly bound: "exact" | "at-most" | "at-least";
  }[];
}

/** What to do, for the strongest ink. */
export type InkFinding =
  | { readonly code: "paper-unseen" }
  | {
      readonly code: "ink-enough";
      readonly ink: string;
      readonly likely: number;
      readonly lower: number;
      readonly upper: number;
    }
  | { readonly code: "ink-just-enough"; readonly ink: string; readonly likely: number }
  | {
      readonly code: "ink-short";
      readonly ink: string;
      readonly veilDensity: number;
      /** Ultraviolet density that is missing; null without a curve. */
      readonly shortDensity: number | null;
    };

export interface InkAnswer {
  /** The strongest first. */
  readonly inks: readonly InkOutcome[];
  readonly finding: InkFinding;
}
