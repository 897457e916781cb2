// Photograms read from a photo of their print beside a strip.
import { z } from "zod";
import { maxExposureSeconds } from "#shared/limits.ts";
import { cornersSchema } from "./reading.ts";
import { instantSchema } from "./test.ts";

/** POST /api/photograms. */
export const photogramPhotoSchema = z.object({
  /** Test whose strip lies in the picture: of the same paper, coating and light as the thing's print. */
  testId: z.string().min(1, "choose the test whose strip lies beside the thing").max(60),
  /** Corners of the strip, where it is not found by itself. */
  corners: cornersSchema.optional(),
  /** Time that the thing was exposed. */
  exposureSeconds: z
    .number("say how long the thing was exposed")
    .gt(0, "the time must be above 0 seconds")
    .max(maxExposureSeconds),
  /** When its exposure began; for a test in the sun. */
  startedAt: instantSchema.optional(),
  /** Middles of even places on the thing's image [upright px]. */
  spots: z
    .array(z.tuple([z.number().min(0), z.number().min(0)]))
    .min(1, "show a place on the thing's image")
    .max(12, "at most 12 places"),
});
export type PhotogramPhotoRequest = z.infer<typeof photogramPhotoSchema>;

/** What a thing holds back, and how long it wants. */
export interface PhotogramAnswer {
  readonly density: number;
  readonly stops: number;
  /** Time of a middle blue under the thing, with its range [s]; in the test's own light. */
  readonly mid: { readonly seconds: number; readonly lowerSeconds: number; readonly upperSeconds: number } | null;
  /** Time of the deepest blue under it, at which its drawing is lost [s]. */
  readonly shoulderSeconds: number | null;
  /**
   * For a test in the sun: the model's dose of that middle blue [action-weighted J/m²], for a plan of any day and hour.
   */
  readonly midDose: number | null;
}

/** One place on the thing. */
export interface PhotogramSpot {
  readonly at: readonly [number, number];
  /** Red density of the print there, above the strip's paper. */
  readonly printDensity: number;
  readonly sigma: number;
  /** Null where it says nothing, for the reason in `trouble`. */
  readonly found: PhotogramAnswer | null;
  readonly trouble: string | null;
}
