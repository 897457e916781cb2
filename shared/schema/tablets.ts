// Step tablets that a studio owns: typed once, calibrated once in its own light.
import { z } from "zod";
import { maxExposureSeconds } from "#shared/limits.ts";
import { lineSchema, linesSchema } from "./plain-text.ts";
import { maxSteps } from "./reading.ts";

const densitySchema = z.number().min(0, "a density cannot be below 0").max(6, "no film is denser than 6");

export const tabletInputSchema = z.object({
  name: lineSchema().min(1, "give it a name").max(120, "keep the name under 120 characters"),
  notes: linesSchema().max(4000).default(""),
  /** Density of each step, clearest first, as on its label or as measured. */
  densities: z
    .array(densitySchema)
    .min(3, "a tablet needs at least 3 steps")
    .max(maxSteps)
    .refine(
      (densities) => densities.every((density, index) => index === 0 || density > (densities[index - 1] ?? 0)),
      "each step must be denser than the one before: list the clearest first, and look for a slip of the keys",
    ),
  /** Whether each step was measured, or is known by the label's even increment. */
  isMeasured: z.boolean().default(false),
  /** Standard uncertainty of one step about the others; what is usual when absent. */
  toleranceDensity: z.number().min(0).max(0.5).nullish(),
  /**
   * What its densities are multiplied by in the studio's own light, and what is added to all, with standard
   * uncertainties.
   */
  scale: z.number().min(0.5).max(2).default(1),
  scaleSigmaShare: z.number().min(0).max(0.3).nullish(),
  baseShiftDensity: z.number().min(-1).max(1).default(0),
  baseSigmaDensity: z.number().min(0).max(0.3).nullish(),
  /** When and under which lamp that was found. */
  calibratedAt: lineSchema().max(40).nullish(),
  calibratedLampId: lineSchema().max(64).nullish(),
  archived: z.boolean().default(false),
});
export type TabletInput = z.infer<typeof tabletInputSchema>;
export type OwnTablet = TabletInput & { readonly id: string; readonly createdAt: string; readonly updatedAt: string };

/** One exposure of the tablet: what its steps printed. */
const exposureSchema = z.object({
  seconds: z.number().gt(0, "a time must be above 0 seconds").max(maxExposureSeconds),
  /** Density above paper of each step, in tablet order; null where a step could not be read. */
  densities: z.array(z.number().min(-0.5).max(4).nullable()).min(3).max(maxSteps),
});

/**
 * Prints that tell the tablet's densities in the studio's light: the tablet at t and 2 t, or beside a timed strip, or
 * both.
 */
export const tabletCalibrationSchema = z
  .object({
    exposures: z.array(exposureSchema).max(8).default([]),
    /** Saved tests that stand in for typed prints: of this tablet at their times, or of a timed strip beside it. */
    testIds: z.array(z.string().max(64)).max(8).default([]),
    /** Bare patches beside it, each uncovered for its own time. */
    timed: z
      .array(z.object({ seconds: z.number().gt(0).max(maxExposureSeconds), density: z.number().min(-0.5).max(4) }))
      .max(maxSteps)
      .default([]),
    /** Standard uncertainty of one density as read. */
    sigmaDensity: z.number().gt(0).max(0.2).default(0.01),
    lampId: z.string().max(64).optional(),
  })
  .refine(
    ({ exposures, timed, testIds }) =>
      testIds.length >= 2 ||
      (testIds.length === 1 && exposures.length > 0) ||
      (timed.length >= 4 && exposures.length + testIds.length > 0) ||
      new Set(exposures.map(({ seconds }) => seconds)).size >= 2,
    "give the tablet printed at two different times, or beside a timed strip of four steps or more",
  );
export type TabletCalibration = z.infer<typeof tabletCalibrationSchema>;
