// What lists show and the studio's model takes of a test, as columns beside its long parts.
import { shoulderShare } from "#shared/limits.ts";
import type { SavedTest, TestRequest } from "#shared/schema/test.ts";
import type { SqlValue } from "#src/store/sql.ts";

/** A test without the parts that the store itself gives. */
export type TestRecord = Omit<SavedTest, "id" | "createdAt" | "updatedAt">;

/** What was asked, as columns to search and sort by. */
export function columnsOfRequest(request: TestRecord["request"], createdAt: string): Record<string, SqlValue> {
  const madeAt = request.madeAt ?? request.sun?.startedAt ?? createdAt;
  const isOnFilm = request.filmInTest || request.tablet.kind === "levels" || request.tablet.kind === "sheet";
  return {
    made_at: madeAt,
    made_ms: Date.parse(madeAt),
    name: request.name,
    lamp_id: request.lampId,
    support_id: request.supportId,
    coating_id: request.coatingId,
    film_id: request.filmId ?? null,
    tablet_kind: request.tablet.kind,
    tablet: JSON.stringify(request.tablet),
    channel: request.channel,
    exposure_seconds: request.exposureSeconds ?? null,
    film_in_test: isOnFilm ? 1 : 0,
    lamp_distance_mm: request.lampDistanceMm ?? null,
    lamp_hours: request.lampHours ?? null,
    under_sun: (request.sun ?? null) === null ? 0 : 1,
    head_to_tail_test_id: request.headToTailTestId ?? null,
    ...coatingAndFinishColumns(request),
  };
}

/** What came of it: the advised time with its range, and what the curve tells of the combination. */
export function columnsOfResult(record: TestRecord): Record<string, SqlValue> {
  const { curve, exposure } = record;
  const shoulder = tellsShoulder(record) ? curve : null;
  return {
    invented: record.invented ? 1 : 0,
    picture_id: record.pictureId,
    verdict: exposure.verdict,
    seconds: exposure.seconds,
    lower_seconds: exposure.lowerSeconds,
    upper_seconds: exposure.upperSeconds,
    target_share: exposure.targetShare,
    film_density: exposure.filmDensity,
    d_max: curve?.dMax ?? null,
    log_exposure_range: curve?.logExposureRange ?? null,
    made_by: record.madeBy,
    shoulder_log_h: shoulder?.points.shoulder?.logH ?? null,
    shoulder_sigma_log_h: shoulder?.sigmaLogH.shoulder ?? null,
    tablet_sigma_log_h: tabletSigmaLogH(curve),
    degrees_of_freedom: curve?.degreesOfFreedom ?? null,
    ...columnsOfSlope(curve),
  };
}

/** How steep two strips head to tail showed the coating to be. */
function columnsOfSlope(curve: TestRecord["curve"]): Record<string, SqlValue> {
  const slope = curve?.coatingSlope;
  return { coating_slope: slope?.share ?? null, coating_slope_sigma: slope?.sigmaShare ?? null };
}

/** Of which batch a test was coated, in which air, and how it was finished. */
function coatingAndFinishColumns(request: TestRequest): Record<string, SqlValue> {
  const yesOrNo = (said: boolean | null | undefined): number | null => (said == null ? null : Number(said));
  return {
    batch_id: request.batchId ?? null,
    humidity_percent: request.humidityPercent ?? null,
    acid_wash: request.wash == null ? null : Number(request.wash === "acid"),
    peroxide: yesOrNo(request.peroxide),
    oxidised: yesOrNo(request.oxidised),
  };
}

/** Whether it tells the time to 90 %: it told its own, or fell short only of a deeper blue than that. */
function tellsShoulder({ exposure, curve }: TestRecord): boolean {
  if (exposure.seconds !== null) return true;
  const shoulder = curve?.points.shoulder ?? null;
  if (shoulder === null || exposure.verdict !== "test-too-short" || exposure.targetShare <= shoulderShare) return false;
  return (curve?.steps ?? []).some((step) => step.leftOut === null && step.density >= shoulder.density);
}

/**
 * Standard uncertainty at the shoulder that the tablet as a whole brings; null where the fit does not tell it apart.
 */
function tabletSigmaLogH(curve: TestRecord["curve"]): number | null {
  const variances = curve?.shareSigmas.find(({ share }) => Math.abs(share - shoulderShare) < 1e-9)?.variances ?? [];
  if (variances.length === 0) return null;
  return Math.sqrt(variances.find(({ source }) => source === "tablet-scale-and-base")?.variance ?? 0);
}
