import { StoreError } from "./store-error.ts";
import type { Migration } from "./migrations/migration.ts";
import type { Sql } from "./sql.ts";

/** Where the steps that were taken are kept. */
export const schemaTable = "schema_steps";

/**
 * Carries a database to the newest schema, each step in its own transaction.
 *
 * @throws StoreError when a newer version of the program has already been here.
 */
export function migrate(sql: Sql, migrations: readonly Migration[]): void {
  sql.script("CREATE TABLE IF NOT EXISTS schema_steps (number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;");
  const done = new Set(sql.all("SELECT number FROM schema_steps").map((row) => Number(row["number"])));
  const known = new Set(migrations.map((migration) => migration.number));
  if ([...done].some((number) => !known.has(number))) {
    throw new StoreError(
      "The data folder was written by a newer version of Wedgewright. Install that version, or point DATA_DIR to " +
        "another folder. Nothing was changed.",
    );
  }
  for (const migration of [...migrations].sort((a, b) => a.number - b.number)) {
    if (done.has(migration.number)) continue;
    sql.transaction(() => {
      sql.script(migration.script);
      sql.run("INSERT INTO schema_steps (number, name) VALUES (?, ?)", migration.number, migration.name);
    });
  }
}

/** Whether steps are still to be taken in a database that has been here before. */
export function mustMigrate(sql: Sql, migrations: readonly Migration[]): boolean {
  const done = new Set(sql.all(`SELECT number FROM ${schemaTable}`).map((row) => Number(row["number"])));
  return done.size > 0 && migrations.some(({ number }) => !done.has(number));
}
