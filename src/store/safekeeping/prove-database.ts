// Proves a database that came from outside before a row of it is believed: its own checks, our tables and nothing else,
// and every record readable by today's schema.
import { rmSync } from "node:fs";
import { join } from "node:path";
import { migrate, schemaTable } from "#src/store/migrate.ts";
import type { Migration } from "#src/store/migrations/migration.ts";
import { extensionByMediaType, isPictureMediaType } from "#src/store/pictures.ts";
import { everyRecord } from "#src/store/safekeeping/every-record.ts";
import { openSql, type Sql } from "#src/store/sql.ts";

/** Why a database is not believed, as the end of a sentence. */
export class UnprovedDatabase extends Error {
  override readonly name = "UnprovedDatabase";
}

/** What a proved database holds. */
export interface DatabaseContents {
  readonly tests: number;
  readonly prints: number;
  readonly materials: number;
  /** When the newest test was made; null without tests. */
  readonly newestTestAt: string | null;
  /** Place of every picture's file below the picture folder, by its id, with its size in bytes. */
  readonly pictures: ReadonlyMap<string, { readonly place: string; readonly sizeBytes: number }>;
}

/**
 * Proves an opened database and carries it to the newest schema.
 * @param workFolder for a passing database of our own
 * @throws UnprovedDatabase, StoreError when it is of a newer version, or an error of the database's own
 */
export function proveDatabase(
  sql: Sql,
  { migrations, workFolder }: { migrations: readonly Migration[]; workFolder: string },
): DatabaseContents {
  sql.script("PRAGMA trusted_schema = OFF");
  refuseForeignObjects(sql);
  const health = sql.all("PRAGMA integrity_check(1)").map((row) => Object.values(row)[0]);
  if (health[0] !== "ok" || sql.all("PRAGMA foreign_key_check").length > 0)
    throw new UnprovedDatabase("its database is damaged");
  if (sql.get("SELECT name FROM sqlite_schema WHERE name = ?", schemaTable) === undefined)
    throw new UnprovedDatabase("its database is not one of Wedgewright");
  refuseOtherTables(sql, migrations, workFolder);
  migrate(sql, migrations);
  readEveryRecord(sql);
  return contentsOf(sql);
}

/** Views and triggers are programs of whoever wrote the file. Indexes are checked with their tables. */
function refuseForeignObjects(sql: Sql): void {
  if (sql.get("SELECT name FROM sqlite_schema WHERE type NOT IN ('table', 'index') LIMIT 1") !== undefined)
    throw new UnprovedDatabase("its database holds something that Wedgewright never writes");
}

/** Tables and columns must be those that our own steps make, as far as the file says they were taken. */
function refuseOtherTables(sql: Sql, migrations: readonly Migration[], workFolder: string): void {
  const taken = new Set(sql.all(`SELECT number FROM ${schemaTable}`).map((row) => Number(row["number"])));
  const file = join(workFolder, "own.db");
  const own = openSql(file);
  try {
    const known = migrations.filter(({ number }) => taken.has(number));
    migrate(own, known);
    if (known.length < taken.size) return; // `migrate` says that it is of a newer version
    if (JSON.stringify(tablesOf(sql)) !== JSON.stringify(tablesOf(own)))
      throw new UnprovedDatabase("its database has other tables than Wedgewright's");
  } finally {
    own.close();
    for (const ending of ["", "-wal", "-shm"]) rmSync(file + ending, { force: true });
  }
}

function tablesOf(sql: Sql): unknown {
  return sql
    .all("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name")
    .map((table) => [
      table["name"],
      sql
        .all(`PRAGMA table_xinfo("${String(table["name"])}")`)
        .map((column) => [column["name"], column["type"], column["notnull"], column["pk"], column["hidden"]])
        .sort(),
    ]);
}

/** @throws UnprovedDatabase at the first record that no page could show */
function readEveryRecord(sql: Sql): void {
  try {
    for (const record of everyRecord(sql)) record.read();
  } catch (error) {
    throw new UnprovedDatabase("a record in its database cannot be read", { cause: error });
  }
  const bare = sql.get("SELECT id FROM tests WHERE id NOT IN (SELECT test_id FROM test_records) LIMIT 1");
  if (bare !== undefined) throw new UnprovedDatabase("a test in its database has no record");
}

function contentsOf(sql: Sql): DatabaseContents {
  const count = (table: string): number => Number(sql.get(`SELECT count(*) AS n FROM ${table}`)?.["n"] ?? 0);
  const pictures = new Map<string, { place: string; sizeBytes: number }>();
  for (const row of sql.all("SELECT id, media_type, bytes FROM pictures")) {
    const [id, mediaType] = [String(row["id"]), String(row["media_type"])];
    if (!/^[0-9a-f]{64}$/.test(id) || !isPictureMediaType(mediaType))
      throw new UnprovedDatabase("it names a picture that is none");
    const place = join(id.slice(0, 2), `${id}.${extensionByMediaType[mediaType]}`);
    pictures.set(id, { place, sizeBytes: Number(row["bytes"]) });
  }
  const newest = sql.get("SELECT made_at FROM tests ORDER BY made_ms DESC LIMIT 1")?.["made_at"];
  return {
    tests: count("tests"),
    prints: count("prints"),
    materials: ["lamps", "supports", "coatings", "films"].reduce((sum, table) => sum + count(table), 0),
    newestTestAt: newest === undefined ? null : String(newest),
    pictures,
  };
}
