// Proves a database that came from outside before a row of it is believed: its own checks, our tables and nothing else,
// and every record readable by today's schema.
import { rmSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import { readRequest } from "#src/store/records/old-record.ts";
import { materialTables, stockTable } from "#src/store/records/materials.ts";
import { migrate, schemaTable } from "#src/store/migrate.ts";
import type { Migration } from "#src/store/migrations/migration.ts";
import { extensionByMediaType, isPictureMediaType } from "#src/store/pictures.ts";
import { printTable } from "#src/store/records/prints.ts";
import { openSql, type Sql } from "#src/store/sql.ts";
import { sunAnchorTable } from "#src/store/records/sun-anchors.ts";

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

const readingShape = z.looseObject({
  image: z.looseObject({ width: z.number(), height: z.number() }),
  location: z.looseObject({ corners: z.array(z.array(z.number())) }),
  steps: z.array(z.looseObject({ index: z.number(), red: z.number(), sigma: z.number() })),
  warnings: z.array(z.looseObject({ code: z.string() })),
});
const curveShape = z
  .looseObject({
    channel: z.enum(["red", "visual"]),
    points: z.looseObject({}),
    samples: z.array(z.looseObject({ logH: z.number(), density: z.number() })),
    steps: z.array(z.looseObject({ logH: z.number(), density: z.number() })),
  })
  .nullable();
const exposureShape = z.looseObject({ verdict: z.string(), reasons: z.array(z.unknown()).optional() });

/** @throws UnprovedDatabase at the first record that no page could show */
function readEveryRecord(sql: Sql): void {
  const now = (): Date => new Date();
  const json = (value: unknown): unknown => (value === null ? null : JSON.parse(String(value)));
  try {
    const materials = materialTables(sql, now);
    for (const table of [
      materials.lamps,
      materials.supports,
      materials.coatings,
      materials.films,
      stockTable(sql, now),
    ])
      table.list({ archived: true });
    for (const { id } of sql.all("SELECT id FROM prints")) printTable(sql, now).get(String(id));
    sunAnchorTable(sql, now).list();
    for (const { id } of sql.all("SELECT test_id AS id FROM test_records")) {
      const row = sql.get("SELECT * FROM test_records WHERE test_id = ?", String(id));
      readRequest(json(row?.["request"]));
      readingShape.parse(json(row?.["reading"]));
      curveShape.parse(json(row?.["curve"] ?? null));
      exposureShape.parse(json(row?.["exposure"]));
      z.array(z.looseObject({ code: z.string() })).parse(json(row?.["warnings"]));
    }
    const bare = sql.get("SELECT id FROM tests WHERE id NOT IN (SELECT test_id FROM test_records) LIMIT 1");
    if (bare !== undefined) throw new UnprovedDatabase("a test in its database has no record");
  } catch (error) {
    if (error instanceof UnprovedDatabase) throw error;
    throw new UnprovedDatabase("a record in its database cannot be read", { cause: error });
  }
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
