// Exposure advice for a combination of lamp, support, coating and film: tested, or drawn from other tests.
import { shoulderShare } from "#shared/limits.ts";
import { z } from "zod";
import type { Verdict } from "./curve.ts";
import type { Warning } from "./reading.ts";

const idSchema = z.string().min(1, "choose one").max(64);

/** GET /api/exposures: everything comes as text in the address. */
export const exposureQuerySchema = z.object({
  lampId: idSchema,
  supportId: idSchema,
  coatingId: idSchema,
  /** Batch of the coating; absent or empty: the newest that is not used up. */
  batchId: z.string().max(64).optional(),
  /** Absent or empty: bare coating. */
  filmId: z.string().max(64).optional(),
  /** Share of net D-max that clear film shall reach. */
  share: z.coerce.number("give a share such as 0.9").min(0.5).max(0.99).default(shoulderShare),
  /** Distance from lamp to print that the time is for; absent: the lamp's usual distance. */
  distanceMm: z.coerce.number("give the distance in millimetres").min(1).max(10_000).optional(),
  /** The lamp's hours on the day of the print, for the ageing of the lamp. */
  lampHours: z.coerce.number("give the hours as a number").min(0).max(200_000).optional(),
});
export type ExposureQuery = z.infer<typeof exposureQuerySchema>;

/**
 * Where a time comes from: one test of just this combination; several of them pooled; such tests carried to another
 * distance, film or lamp age; other combinations ("predicted, not tested"); or nowhere.
 */
export type ExposureSource = "tested" | "pooled" | "transferred" | "predicted" | "unknown";

export interface ExposureAnswer {
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  /** Null when it cannot be told; `provenance` then says what to do. */
  readonly seconds: number | null;
  /** 95 % range of the calibration; without `seconds`, `lowerSeconds` alone means "longer than this". */
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
  /**
   * 95 % range of the next print, which differs from the calibration by the scatter of prints; null where no time is
   * given.
   */
  readonly nextPrint: { readonly lowerSeconds: number; readonly upperSeconds: number } | null;
  readonly targetShare: number;
  /** UV density of the clear film that the time is for; 0 for bare coating. */
  readonly filmDensity: number;
  /** Distance that the time is for; null where it was never said. */
  readonly distanceMm: number | null;
  readonly source: ExposureSource;
  /** Of the test it rests on, when it rests on one test alone; null otherwise. */
  readonly verdict: Verdict | null;
  /** Plain sentences: where the time comes from, step by step, and how far to trust it. */
  readonly provenance: readonly string[];
  /** The tests that it rests on, the weightiest first. */
  readonly testIds: readonly string[];
  readonly warnings: readonly Warning[];
}
