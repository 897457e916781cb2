// One server to a data folder: a lock that the system itself lets go when its process ends, however that happens.
import LibsqlDatabase from "libsql";
import { join } from "node:path";
import { StoreError } from "./store-error.ts";

/** Name of the file that is locked while a server works in the folder; it holds nothing. */
const lockFileName = "in-use.lock";

export interface FolderLock {
  release(): void;
}

/**
 * Takes the data folder for this process.
 * @throws StoreError with one plain line when another server has it, or no file can be made there
 */
export function lockFolder(dataDir: string): FolderLock {
  let database: LibsqlDatabase.Database | undefined;
  try {
    database = new LibsqlDatabase(join(dataDir, lockFileName), { timeout: 0 });
    // The exclusive lock of a database file, held by an open transaction; the file itself stays empty.
    database.exec("PRAGMA journal_mode = DELETE; BEGIN EXCLUSIVE;");
  } catch (error) {
    if (database?.open === true) database.close();
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    if (code === "SQLITE_BUSY" || code === "SQLITE_LOCKED")
      throw new StoreError(
        `Another Wedgewright works in the data folder ${dataDir} already: use that one, stop it first, or set ` +
          "DATA_DIR to another folder.",
        { cause: error },
      );
    throw new StoreError(
      `The data folder ${dataDir} cannot be used (no lock can be set in it). Make it writable, or point DATA_DIR ` +
        "to another folder.",
      { cause: error },
    );
  }
  const held = database;
  return {
    release() {
      if (!held.open) return;
      if (held.inTransaction) held.exec("ROLLBACK");
      held.close();
    },
  };
}
