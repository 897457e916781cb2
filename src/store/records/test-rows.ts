// Rows of the table of tests as records.
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { Channel, Verdict } from "#shared/schema/curve.ts";
import { shoulderShare } from "#shared/limits.ts";
import type { Tablet } from "#shared/schema/reading.ts";
import type { SavedTest, TestSummary } from "#shared/schema/test.ts";
import { readRequest, readTestParts } from "./old-record.ts";
import type { SqlRow, SqlValue } from "#src/store/sql.ts";

/** What a list shows of a test. */
export function summaryFrom(row: SqlRow): TestSummary {
  return {
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    updatedAt: String(row["updated_at"]),
    madeAt: String(row["made_at"]),
    name: String(row["name"]),
    invented: row["invented"] === 1,
    lampId: String(row["lamp_id"]),
    supportId: String(row["support_id"]),
    coatingId: String(row["coating_id"]),
    filmId: row["film_id"] === null ? null : String(row["film_id"]),
    pictureId: String(row["picture_id"]),
    tabletKind: String(row["tablet_kind"]) as Tablet["kind"],
    channel: String(row["channel"]) as Channel,
    exposureSeconds: numberOrNull(row["exposure_seconds"]),
    exposure: {
      seconds: numberOrNull(row["seconds"]),
      lowerSeconds: numberOrNull(row["lower_seconds"]),
      upperSeconds: numberOrNull(row["upper_seconds"]),
      targetShare: Number(row["target_share"]),
      filmDensity: Number(row["film_density"]),
      verdict: String(row["verdict"]) as Verdict,
    },
    dMax: numberOrNull(row["d_max"]),
    logExposureRange: numberOrNull(row["log_exposure_range"]),
    madeBy: String(row["made_by"]),
  };
}

/** What the studio's model takes of a test. */
export function timedTestFrom(row: SqlRow): TimedTest {
  return {
    id: String(row["id"]),
    name: String(row["name"]),
    madeAt: String(row["made_at"]),
    lampId: String(row["lamp_id"]),
    supportId: String(row["support_id"]),
    coatingId: String(row["coating_id"]),
    filmId: row["film_id"] === null ? null : String(row["film_id"]),
    verdict: String(row["verdict"]) as Verdict,
    shoulderLogH: numberOrNull(row["shoulder_log_h"]),
    sigmaLogH: numberOrNull(row["shoulder_sigma_log_h"]),
    degreesOfFreedom: numberOrNull(row["degrees_of_freedom"]),
    filmInTest: row["film_in_test"] === 1,
    lampDistanceMm: numberOrNull(row["lamp_distance_mm"]),
    lampHours: numberOrNull(row["lamp_hours"]),
    isUnderSun: row["under_sun"] === 1,
    pictureId: String(row["picture_id"]),
    tabletKind: String(row["tablet_kind"]) as Tablet["kind"],
    tablet: String(row["tablet"]),
    exposureSeconds: numberOrNull(row["exposure_seconds"]),
    tabletSigmaLogH: numberOrNull(row["tablet_sigma_log_h"]),
    boundLogSeconds: boundLogSeconds(row),
    advisedFilmDensity: Number(row["film_density"]),
    readWithId: row["head_to_tail_test_id"] == null ? null : String(row["head_to_tail_test_id"]),
    batchId: row["batch_id"] === null ? null : String(row["batch_id"]),
    humidityPercent: numberOrNull(row["humidity_percent"]),
    finish: {
      acidWash: yesOrNull(row["acid_wash"]),
      peroxide: yesOrNull(row["peroxide"]),
      oxidised: yesOrNull(row["oxidised"]),
    },
  };
}

/** A test too short for a time still says that the time is longer. */
function boundLogSeconds(row: SqlRow): number | null {
  const lower = numberOrNull(row["lower_seconds"]);
  const isOfShoulder = Number(row["target_share"]) <= shoulderShare;
  return row["seconds"] === null && row["verdict"] === "test-too-short" && isOfShoulder && lower !== null && lower > 0
    ? Math.log10(lower)
    : null;
}

/** A yes or no that nobody may have said. */
function yesOrNull(value: SqlValue | undefined): boolean | null {
  return typeof value === "number" ? value === 1 : null;
}

/** A column that may be empty. */
export function numberOrNull(value: SqlValue | undefined): number | null {
  return typeof value === "number" ? value : null;
}

/** A whole test, its long parts read from JSON. */
export function savedTestFrom(row: SqlRow, pictures: readonly SqlRow[]): SavedTest {
  const idsOf = (role: string): string[] =>
    pictures.filter((picture) => picture["role"] === role).map((picture) => String(picture["picture_id"]));
  const json = (column: string): unknown => (row[column] === null ? null : JSON.parse(String(row[column])));
  return {
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    updatedAt: String(row["updated_at"]),
    invented: row["invented"] === 1,
    request: readRequest(json("request")),
    pictureId: String(row["picture_id"]),
    furtherPictures: { photos: idsOf("photo"), evenLight: idsOf("even-light")[0] ?? null },
    ...readTestParts({
      reading: json("reading"),
      curve: json("curve"),
      exposure: json("exposure"),
      warnings: json("warnings"),
    }),
    madeBy: String(row["made_by"]),
  };
}
