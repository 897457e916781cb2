// Makes a data folder that of an older version again: the newest steps of its schema are undone, as far as they only
// made tables, or columns that they fill again.
import LibsqlDatabase from "libsql";
import { join } from "node:path";
import { migrations } from "#src/store/migrations/all.ts";

/**
 * Undoes the newest steps that lose nothing. No server may have the folder open.
 * @returns how many steps the next start has to take
 */
export function makeOlder(dataDir: string): number {
  const database = new LibsqlDatabase(join(dataDir, "wedgewright.db"));
  let undone = 0;
  try {
    database.exec("PRAGMA foreign_keys = OFF; BEGIN");
    for (const { number, script } of [...migrations].sort((one, other) => other.number - one.number)) {
      const statements = script.split(";").map((each) => each.replace(/--.*$/gm, "").trim());
      const undoing = statements.map((each) => (each === "" ? "" : undoingOf(each, script)));
      if (number < oldestUndone || undoing.includes(null)) break;
      database.exec(undoing.join(""));
      database.exec(`DELETE FROM schema_steps WHERE number = ${number}`);
      undone++;
    }
    database.exec("COMMIT");
  } finally {
    database.close();
  }
  return undone;
}

/** Steps before this one made the tables of tests and prints themselves. */
const oldestUndone = 60;

/** What undoes a statement; empty where nothing has to, null where something would be lost. */
function undoingOf(statement: string, script: string): string | null {
  const table = /^CREATE TABLE (\w+)/.exec(statement)?.[1];
  if (table !== undefined) return `DROP TABLE "${table}";`;
  const [, of, column] = /^ALTER TABLE (\w+) ADD COLUMN (\w+)/.exec(statement) ?? [];
  if (column !== undefined)
    return new RegExp(`^UPDATE[^;]*\\b${column} = `, "m").test(script)
      ? `ALTER TABLE "${of}" DROP COLUMN ${column};`
      : null;
  return /^(?:CREATE (?:UNIQUE )?INDEX|UPDATE) /.test(statement) ? "" : null;
}
