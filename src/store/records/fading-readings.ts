// Later readings of a test's strip, after washes or in light.
import { InputError } from "#shared/errors.ts";
import { fadingRecordSchema, type FadingReading, type FadingRecord } from "#shared/schema/workshop/fading.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface FadingTable {
  /** Of one test, in the order in which they were kept. */
  list(testId: string): FadingReading[];
  find(id: string): FadingReading | undefined;
  /** @throws InputError "not-found". */
  get(id: string): FadingReading;
  create(input: { testId: string; pictureId: string; record: FadingRecord }): FadingReading;
  /** @throws InputError "not-found". */
  replace(id: string, record: FadingRecord): FadingReading;
  /** Nothing happens when it is not there. */
  remove(id: string): void;
  /** Forgets the readings of tests that are gone, but for those of some tests; gives the ids of their pictures. */
  removeOfGoneTests(exceptTestIds: readonly string[]): string[];
}

const columns = "id, created_at, test_id, picture_id, record";

export function fadingTable(sql: Sql, now: () => Date): FadingTable {
  function find(id: string): FadingReading | undefined {
    const row = sql.get(`SELECT ${columns} FROM fading_readings WHERE id = ?`, id);
    return row === undefined ? undefined : readingFrom(row);
  }

  function get(id: string): FadingReading {
    const reading = find(id);
    if (reading === undefined) throw new InputError("not-found", "This later reading is not kept any more.");
    return reading;
  }

  return {
    find,
    get,
    list: (testId) =>
      sql
        .all(`SELECT ${columns} FROM fading_readings WHERE test_id = ? ORDER BY created_at, id`, testId)
        .map(readingFrom),
    create({ testId, pictureId, record }) {
      const id = newId();
      sql.run(
        "INSERT INTO fading_readings (id, created_at, test_id, picture_id, record) VALUES (?, ?, ?, ?, ?)",
        id,
        now().toISOString(),
        testId,
        pictureId,
        JSON.stringify(record),
      );
      return get(id);
    },
    replace(id, record) {
      get(id);
      sql.run("UPDATE fading_readings SET record = ? WHERE id = ?", JSON.stringify(record), id);
      return get(id);
    },
    remove(id) {
      sql.run("DELETE FROM fading_readings WHERE id = ?", id);
    },
    removeOfGoneTests(exceptTestIds) {
      return sql
        .all(
          "DELETE FROM fading_readings WHERE test_id NOT IN (SELECT id FROM tests) " +
            "AND test_id NOT IN (SELECT value FROM json_each(?)) RETURNING picture_id",
          JSON.stringify(exceptTestIds),
        )
        .map((row) => String(row["picture_id"]));
    },
  };
}

function readingFrom(row: SqlRow): FadingReading {
  return {
    ...fadingRecordSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    testId: String(row["test_id"]),
    pictureId: String(row["picture_id"]),
  };
}
