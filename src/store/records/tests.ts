// Test prints: what lists show in columns, the long parts as JSON beside them.
import { InputError } from "#shared/errors.ts";
import type { CoatingSlope } from "#shared/curve/head-to-tail.ts";
import type { Channel } from "#shared/schema/curve.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { SavedTest, TestFilter, TestSummary } from "#shared/schema/test.ts";
import { columnsOfRequest, columnsOfResult, type TestRecord } from "./test-columns.ts";
import { conditionsFrom, placeFrom } from "./test-filter.ts";
import { numberOrNull, savedTestFrom, summaryFrom, timedTestFrom } from "./test-rows.ts";
import { laterThan, newId } from "#src/store/ids.ts";
import type { Sql, SqlValue } from "#src/store/sql.ts";

interface TestPage {
  readonly tests: TestSummary[];
  /** Where the next page goes on, or null at the end. */
  readonly next: string | null;
}

/** How a test stood under its lamp; null where that was not said. */
interface TestConditions {
  readonly id: string;
  readonly lampDistanceMm: number | null;
  readonly lampHours: number | null;
}

export interface TestTable {
  /** Newest first. Reads no long columns, so that a page stays quick with tens of thousands of tests. */
  list(filter?: Partial<TestFilter>): TestPage;
  count(filter?: Partial<TestFilter>): number;
  /**
   * How many unnamed tests of the same materials were made before this one, from an instant on: 0 for the first of its
   * day.
   */
  unnamedBefore(
    test: Pick<TestSummary, "id" | "lampId" | "supportId" | "coatingId" | "filmId">,
    fromMs: number,
  ): number;
  /** Number of tests saved after an instant, without the invented ones, and when the oldest of them was. */
  ownSince(at: string): { count: number; oldestAt: string | null };
  /** The newest tests of a channel with what they tell of time, from columns alone; also those that tell nothing. */
  listTimed(channel: Channel, limit?: number): TimedTest[];
  /** One of them; undefined where it is not there, or of the other channel. */
  findTimed(channel: Channel, id: string): TimedTest | undefined;
  /** Distance and lamp hours of the newest tests of a lamp, from columns alone. */
  listConditions(lampId: string, limit: number): TestConditions[];
  /** Slopes of a coating's newest sheets whose strips lay head to tail, without the sheet of one test. */
  listSlopes(coatingId: string, exceptSheetOf: string | null): CoatingSlope[];
  /** Ids of the tests of a film of just these densities. */
  listOfTablet(densities: readonly number[]): string[];
  /** Id of the test that is read together with this one; undefined where none is. */
  findReadWith(id: string): string | undefined;
  find(id: string): SavedTest | undefined;
  /**
   * The newest test of these kinds of tablet, an earlier kind first, whose id begins with these letters and digits in
   * capitals.
   */
  findByLetters(
    letters: string,
    options: { kinds: readonly [TabletKind, ...TabletKind[]]; exceptId: string },
  ): SavedTest | undefined;
  /** @throws InputError "not-found". */
  get(id: string): SavedTest;
  /** Call inside a transaction: it writes several rows. */
  save(record: TestRecord, options?: { id?: string; createdAt?: string }): SavedTest;
  /** Call inside a transaction. @throws InputError "not-found". */
  replace(id: string, record: TestRecord): SavedTest;
  /** Call inside a transaction; the pictures stay until pictures.removeIfUnused. @throws InputError "not-found". */
  remove(id: string): void;
}

const summaryColumns =
  "id, created_at, updated_at, made_at, made_ms, name, invented, lamp_id, support_id, coating_id, film_id, " +
  "picture_id, tablet_kind, channel, exposure_seconds, verdict, seconds, lower_seconds, upper_seconds, " +
  "target_share, film_density, d_max, log_exposure_range, made_by";

const timedColumns =
  "id, name, made_at, lamp_id, support_id, coating_id, film_id, verdict, shoulder_log_h, shoulder_sigma_log_h, " +
  "degrees_of_freedom, film_in_test, lamp_distance_mm, lamp_hours, under_sun, picture_id, tablet_kind, " +
  "tablet, exposure_seconds, seconds, lower_seconds, film_density, target_share, tablet_sigma_log_h, " +
  "head_to_tail_test_id, batch_id, humidity_percent, acid_wash, peroxide, oxidised";

/** Letters and digits of an id, in capitals; all other signs in ids are these two. */
const lettersOfId = "upper(replace(replace(id, '-', ''), '_', ''))";

type TabletKind = SavedTest["request"]["tablet"]["kind"];

/** Tests older than so many newer ones say little about today's lamps and bottles, and cost time. */
export const maxTimedTests = 2000;

/** Sheets whose slopes are weighed: how someone coats changes over the years. */
const mostSlopes = 20;

export function testTable(sql: Sql, now: () => Date): TestTable {
  function find(id: string): SavedTest | undefined {
    const row = sql.get(
      `SELECT ${summaryColumns}, request, reading, curve, exposure, warnings FROM tests JOIN test_records ON ` +
        "test_id = id WHERE id = ?",
      id,
    );
    if (row === undefined) return undefined;
    const pictures = sql.all(
      "SELECT role, picture_id FROM test_pictures WHERE test_id = ? ORDER BY role, position",
      id,
    );
    return savedTestFrom(row, pictures);
  }

  function get(id: string): SavedTest {
    const test = find(id);
    if (test === undefined)
      throw new InputError("not-found", "There is no such test. It may have been deleted; look at the list of tests.");
    return test;
  }

  function write(
    id: string,
    record: TestRecord,
    { createdAt, updatedAt }: { createdAt: string; updatedAt: string },
  ): SavedTest {
    upsert(sql, "tests", "id", {
      id,
      created_at: createdAt,
      updated_at: updatedAt,
      ...columnsOfRequest(record.request, createdAt),
      ...columnsOfResult(record),
    });
    upsert(sql, "test_records", "test_id", {
      test_id: id,
      request: JSON.stringify(record.request),
      reading: JSON.stringify(record.reading),
      curve: record.curve === null ? null : JSON.stringify(record.curve),
      exposure: JSON.stringify(record.exposure),
      warnings: JSON.stringify(record.warnings),
    });
    sql.run("DELETE FROM test_pictures WHERE test_id = ?", id);
    const keepPicture = (role: "photo" | "even-light", position: number, pictureId: string): void => {
      sql.run(
        "INSERT INTO test_pictures (test_id, role, position, picture_id) VALUES (?, ?, ?, ?)",
        id,
        role,
        position,
        pictureId,
      );
    };
    const { photos, evenLight } = record.furtherPictures;
    photos.forEach((pictureId, index) => keepPicture("photo", index + 1, pictureId));
    if (evenLight !== null) keepPicture("even-light", 1, evenLight);
    return { id, createdAt, updatedAt, ...record };
  }

  return {
    find,
    findByLetters(letters, { kinds, exceptId }) {
      const kindPlace = `CASE tablet_kind ${kinds.map((_, index) => `WHEN ? THEN ${index}`).join(" ")} END`;
      const row = sql.get(
        `SELECT id FROM tests WHERE ${kindPlace} IS NOT NULL AND id <> ? AND substr(${lettersOfId}, 1, ?) = ?
         ORDER BY ${kindPlace}, made_ms DESC, id DESC LIMIT 1`,
        ...kinds,
        exceptId,
        letters.length,
        letters,
        ...kinds,
      );
      return row === undefined ? undefined : get(String(row["id"]));
    },
    get,
    list(filter = {}) {
      const { where, values } = conditionsFrom(filter);
      const limit = filter.limit ?? 100;
      if (filter.after !== undefined) {
        const [madeMs, id] = placeFrom(filter.after);
        where.push("(made_ms, id) < (?, ?)");
        values.push(madeMs, id);
      }
      const rows = sql.all(
        `SELECT ${summaryColumns} FROM tests ${where.length === 0 ? "" : `WHERE ${where.join(" AND ")}`} ORDER BY ` +
          "made_ms DESC, id DESC LIMIT ?",
        ...values,
        limit + 1,
      );
      const shown = rows.slice(0, limit);
      const last = shown.at(-1);
      return {
        tests: shown.map(summaryFrom),
        next: rows.length > limit && last !== undefined ? `${String(last["made_ms"])}~${String(last["id"])}` : null,
      };
    },
    listTimed(channel, limit = maxTimedTests) {
      return sql
        .all(
          `SELECT ${timedColumns} FROM tests WHERE channel = ? ORDER BY made_ms DESC, id DESC LIMIT ?`,
          channel,
          limit,
        )
        .map(timedTestFrom);
    },
    findTimed(channel, id) {
      const row = sql.get(`SELECT ${timedColumns} FROM tests WHERE id = ? AND channel = ?`, id, channel);
      return row === undefined ? undefined : timedTestFrom(row);
    },
    listConditions(lampId, limit) {
      const rows = sql.all(
        "SELECT id, lamp_distance_mm, lamp_hours FROM tests WHERE lamp_id = ? ORDER BY made_ms DESC, id DESC LIMIT ?",
        lampId,
        limit,
      );
      return rows.map((row) => ({
        id: String(row["id"]),
        lampDistanceMm: numberOrNull(row["lamp_distance_mm"]),
        lampHours: numberOrNull(row["lamp_hours"]),
      }));
    },
    listSlopes(coatingId, exceptSheetOf) {
      return sql
        .all(
          "SELECT coating_slope, coating_slope_sigma FROM tests WHERE coating_id = ? " +
            "AND head_to_tail_test_id IS NOT ? AND coating_slope IS NOT NULL AND coating_slope_sigma IS NOT NULL " +
            "ORDER BY made_ms DESC, id DESC LIMIT ?",
          coatingId,
          exceptSheetOf,
          mostSlopes,
        )
        .map((row) => ({ share: Number(row["coating_slope"]), sigmaShare: Number(row["coating_slope_sigma"]) }));
    },
    listOfTablet(densities) {
      return sql
        .all(
          "SELECT id FROM tests WHERE tablet_kind = 'transmission' AND json_extract(tablet, '$.densities') = ?",
          JSON.stringify(densities),
        )
        .map((row) => String(row["id"]));
    },
    findReadWith(id) {
      const row = sql.get("SELECT id FROM tests WHERE head_to_tail_test_id = ? ORDER BY made_ms DESC LIMIT 1", id);
      return row === undefined ? undefined : String(row["id"]);
    },
    count(filter = {}) {
      const { where, values } = conditionsFrom(filter);
      return Number(
        sql.get(
          `SELECT count(*) AS n FROM tests ${where.length === 0 ? "" : `WHERE ${where.join(" AND ")}`}`,
          ...values,
        )?.["n"] ?? 0,
      );
    },
    unnamedBefore({ id, lampId, supportId, coatingId, filmId }, fromMs) {
      const row = sql.get(
        "SELECT count(*) AS n FROM tests WHERE name = '' AND lamp_id = ? AND support_id = ? AND coating_id = ? " +
          "AND film_id IS ? AND made_ms >= ? AND (made_ms, id) < (SELECT made_ms, id FROM tests WHERE id = ?)",
        lampId,
        supportId,
        coatingId,
        filmId,
        fromMs,
        id,
      );
      return Number(row?.["n"] ?? 0);
    },
    ownSince(at) {
      const row = sql.get(
        "SELECT count(*) AS n, min(created_at) AS oldest FROM tests WHERE invented = 0 AND created_at > ?",
        at,
      );
      return { count: Number(row?.["n"] ?? 0), oldestAt: row?.["oldest"] == null ? null : String(row["oldest"]) };
    },
    save(record, { id = newId(), createdAt = now().toISOString() } = {}) {
      return write(id, record, { createdAt, updatedAt: now().toISOString() });
    },
    replace(id, record) {
      const { createdAt, updatedAt } = get(id);
      return write(id, record, { createdAt, updatedAt: laterThan(updatedAt, now()) });
    },
    remove(id) {
      get(id);
      sql.run("DELETE FROM tests WHERE id = ?", id);
    },
  };
}

/** Inserts a row, or changes it where it stands (a replacement would delete what refers to it). */
function upsert(sql: Sql, table: string, key: string, columns: Readonly<Record<string, SqlValue>>): void {
  const names = Object.keys(columns);
  const changes = names.filter((name) => name !== key).map((name) => `${name} = excluded.${name}`);
  sql.run(
    `INSERT INTO ${table} (${names.join(", ")}) VALUES (${names.map(() => "?").join(", ")}) ON CONFLICT (${key}) ` +
      `DO UPDATE SET ${changes.join(", ")}`,
    ...Object.values(columns),
  );
}
