// The one file that speaks to the SQLite library.
import { statSync } from "node:fs";
import LibsqlDatabase from "libsql";
import { InputError } from "#shared/errors.ts";

export type SqlValue = string | number | null | Uint8Array;
export type SqlRow = Readonly<Record<string, SqlValue>>;

/** An open database. All calls are synchronous; values are bound by position. */
export interface Sql {
  /** Runs one statement; gives the number of rows that it changed. */
  run(statement: string, ...values: readonly SqlValue[]): number;
  get(statement: string, ...values: readonly SqlValue[]): SqlRow | undefined;
  all(statement: string, ...values: readonly SqlValue[]): SqlRow[];
  /** Runs a script of several statements without values. */
  script(statements: string): void;
  /** All or nothing. Inside another transaction it joins that one. */
  transaction<Result>(work: () => Result): Result;
  /**
   * Runs work once the transaction under way is on the disk, or at once when there is none; never after one that
   * failed.
   */
  afterCommit(work: () => void): void;
  /**
   * Replaces all rows by those of another database of the same schema, all or nothing.
   * @param file a proved database in one file, which nothing else has open
   * @param except tables that keep their rows
   */
  takeRowsFrom(file: string, except: readonly string[]): void;
  close(): void;
}

/** The write-ahead log is cut back to this after it has been taken over [bytes]. */
const largestLogBytes = 64 * 1024 * 1024;

/** What tells a file from any other; undefined when there is none. */
function inodeOf(file: string): number | undefined {
  return statSync(file, { throwIfNoEntry: false })?.ino;
}

/** Milliseconds that a statement waits for another process's lock. */
const busyTimeoutMs = 5000;

/**
 * Opens (or makes) a database file: write-ahead log, every commit on the disk before it is acknowledged, foreign keys
 * held.
 */
export function openSql(file: string): Sql {
  const database = new LibsqlDatabase(file, { timeout: busyTimeoutMs });
  database.exec(
    `PRAGMA trusted_schema = OFF; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;
     PRAGMA journal_size_limit = ${largestLogBytes};`,
  );
  const prepared = new Map<string, LibsqlDatabase.Statement>();
  let depth = 0;
  let waiting: (() => void)[] = [];
  const place = inodeOf(file);

  /**
   * A folder that was moved or deleted under a running server would take everything into a file that nobody finds
   * again.
   */
  function refuseUnlessInPlace(): void {
    if (depth === 0 && inodeOf(file) !== place)
      throw new InputError(
        "data-folder-gone",
        "The data folder is not where it was when Wedgewright started, so nothing was saved. Put it back, or " +
          "start Wedgewright again.",
      );
  }

  function statementFor(statement: string): LibsqlDatabase.Statement {
    const known = prepared.get(statement);
    if (known !== undefined) return known;
    const fresh = database.prepare(statement);
    prepared.set(statement, fresh);
    return fresh;
  }

  function transaction<Result>(work: () => Result): Result {
    if (depth > 0) return work();
    refuseUnlessInPlace();
    database.exec("BEGIN IMMEDIATE");
    depth += 1;
    let result: Result;
    try {
      result = work();
      if (result instanceof Promise) throw new TypeError("A transaction cannot wait: its work must be synchronous.");
      database.exec("COMMIT");
    } catch (error) {
      waiting = [];
      if (database.inTransaction) database.exec("ROLLBACK");
      throw error;
    } finally {
      depth -= 1;
    }
    const due = waiting;
    waiting = [];
    for (const each of due) each();
    return result;
  }

  /** Tables of our own with their columns, quoted. */
  function columnsByTable(): Map<string, string> {
    const tables = database
      .prepare("SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'")
      .all() as SqlRow[];
    return new Map(
      tables.map((table) => {
        const columns = database.prepare(`PRAGMA main.table_info("${String(table["name"])}")`).all() as SqlRow[];
        return [String(table["name"]), columns.map((column) => `"${String(column["name"])}"`).join(", ")];
      }),
    );
  }

  return {
    run(statement, ...values) {
      refuseUnlessInPlace();
      return statementFor(statement).run(bindable(values)).changes;
    },
    get: (statement, ...values) => statementFor(statement).all(bindable(values))[0] as SqlRow | undefined,
    all: (statement, ...values) => statementFor(statement).all(bindable(values)) as SqlRow[],
    script: (statements) => {
      database.exec(statements);
    },
    transaction,
    afterCommit(work) {
      if (depth > 0) waiting.push(work);
      else work();
    },
    takeRowsFrom(file, except) {
      const tables = [...columnsByTable()].filter(([table]) => !except.includes(table));
      statementFor("ATTACH DATABASE ? AS incoming").run([file]);
      // References are checked when the file is proved; inside, tables are emptied and filled in any order.
      database.exec("PRAGMA foreign_keys = OFF");
      try {
        transaction(() => {
          for (const [table] of tables) database.exec(`DELETE FROM main."${table}"`);
          for (const [table, columns] of tables)
            database.exec(`INSERT INTO main."${table}" (${columns}) SELECT ${columns} FROM incoming."${table}"`);
          if (database.prepare("PRAGMA main.foreign_key_check").all().length > 0)
            throw new Error("The incoming rows refer to rows that are not there.");
        });
      } finally {
        database.exec("PRAGMA foreign_keys = ON");
        database.exec("DETACH DATABASE incoming");
      }
    },
    close() {
      prepared.clear();
      if (!database.open) return;
      // Everything into the one file that people copy; the write-ahead log beside it is empty after that.
      database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
      database.close();
    },
  };
}

/** The library ends the whole process on a boolean, and takes surplus values in silence, so values are checked here. */
function bindable(values: readonly SqlValue[]): SqlValue[] {
  for (const value of values) {
    const kind = typeof value;
    const isFine =
      value === null ||
      kind === "string" ||
      (kind === "number" && Number.isFinite(value)) ||
      value instanceof Uint8Array;
    if (!isFine)
      throw new TypeError(`A ${kind} (${String(value)}) cannot be stored: use text, a finite number, bytes or null.`);
  }
  return [...values];
}

/** Whether an error is SQLite's refusal to break a reference between rows. */
export function isForeignKeyError(error: unknown): boolean {
  return error instanceof Error && "code" in error && error.code === "SQLITE_CONSTRAINT_FOREIGNKEY";
}

/** Conditions of a WHERE clause, gathered one by one; a value that nobody gave asks for nothing. */
export function gatheredConditions(): {
  readonly where: string[];
  readonly values: SqlValue[];
  readonly add: (condition: string, value: SqlValue | undefined) => void;
} {
  const where: string[] = [];
  const values: SqlValue[] = [];
  return {
    where,
    values,
    add(condition, value) {
      if (value === undefined || value === "") return;
      where.push(condition);
      values.push(value);
    },
  };
}
