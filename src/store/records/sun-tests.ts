import type { Sql } from "#src/store/sql.ts";

/** Ids of the tests that say where and when they stood in the sun, newest first. */
export function sunTestIds(sql: Sql, limit: number): string[] {
  const rows = sql.all(
    `SELECT tests.id AS id FROM test_records JOIN tests ON tests.id = test_records.test_id
     WHERE json_extract(test_records.request, '$.sun') IS NOT NULL ORDER BY tests.made_ms DESC, tests.id DESC LIMIT ?`,
    limit,
  );
  return rows.map((row) => String(row["id"]));
}
