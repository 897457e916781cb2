// Makes a data folder that of an older version again: the newest steps of its schema are undone, as far as they only
// made tables.
import LibsqlDatabase from "libsql";
import { join } from "node:path";
import { migrations } from "#src/store/migrations/all.ts";

/**
 * Undoes the newest steps that made nothing but tables and indexes. No server may have the folder open.
 * @returns how many steps the next start has to take
 */
export function makeOlder(dataDir: string): number {
  const database = new LibsqlDatabase(join(dataDir, "wedgewright.db"));
  let undone = 0;
  try {
    database.exec("PRAGMA foreign_keys = OFF; BEGIN");
    for (const { number, script } of [...migrations].sort((one, other) => other.number - one.number)) {
      const statements = script.split(";").filter((each) => /\S/.test(each.replace(/--.*$/gm, "")));
      const made = statements.map((each) => /^\s*(?:--.*\n\s*)*CREATE (?:UNIQUE )?(TABLE|INDEX) (\w+)/.exec(each));
      if (number < oldestUndone || made.some((each) => each === null)) break;
      for (const each of made) if (each?.[1] === "TABLE") database.exec(`DROP TABLE "${each[2]}"`);
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
