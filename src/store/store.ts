// The data folder: one SQLite database and one folder of pictures.
import { accessSync, constants, existsSync, mkdirSync, readdirSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { backupPieces, passingPrefix } from "./safekeeping/backup.ts";
import {
  keepState,
  keepStateSlowly,
  keptStates,
  keptStatesFolderName,
  type KeptReason,
  type KeptState,
} from "./safekeeping/kept-states.ts";
import { databaseName } from "./database-name.ts";
import { lookThrough, type LookedThrough } from "./safekeeping/look-through.ts";
import { lockFolder, type FolderLock } from "./folder-lock.ts";
import { migrate, mustMigrate, schemaTable } from "./migrate.ts";
import { migrations } from "./migrations/all.ts";
import type { Migration } from "./migrations/migration.ts";
import { newsBoard, type NewsReader } from "./news.ts";
import { countPictureFiles, pictureFolder, type Pictures, type StoredPicture } from "./pictures.ts";
import { previewFolder, type PreviewFolder } from "./previews.ts";
import { restorer, type Restorer } from "./safekeeping/restorer.ts";
import { openSql, type Sql } from "./sql.ts";
import { StoreError } from "./store-error.ts";
import { orUnusable } from "./unusable-folder.ts";
import { sunTestIds } from "./records/sun-tests.ts";
import { openTables, type Tables } from "./tables.ts";

export interface Store extends Tables, Omit<Restorer, "close"> {
  readonly dataDir: string;
  /** Ids of tests printed in the sun, newest first. */
  sunTestIds(limit: number): string[];
  readonly pictures: Pictures;
  /** Small pictures made from the stored ones. */
  readonly previews: PreviewFolder;
  /** What has just been changed, for those who listen. */
  readonly news: NewsReader & { end(): void };
  /** All or nothing; only the acts in src/studio open one. The work must not wait for anything. */
  transaction<Result>(work: () => Result): Result;
  /** Everything as one archive, piece by piece. */
  backup(version: string): AsyncGenerator<Uint8Array>;
  /** Looks through everything, byte by byte, while the work goes on. */
  lookThrough(): Promise<LookedThrough>;
  /** Earlier states that are kept, newest first. */
  keptStates(): KeptState[];
  /** Keeps the present state in the folder of backups; gives its name. */
  keepState(reason: KeptReason): Promise<string>;
  close(): void;
}

type Reads =
  | "list"
  | "find"
  | "findByLetters"
  | "get"
  | "count"
  | "countTests"
  | "listTimed"
  | "findTimed"
  | "listConditions"
  | "listSlopes"
  | "findReadWith"
  | "listOfTablet"
  | "ownSince"
  | "unnamedBefore"
  | "leftOut";
/** What can be asked of a part of the store without changing it. */
type Reader<Part> = Pick<Part, keyof Part & Reads>;

/** The store for those who only look. Every write is an act of src/studio, which alone opens a store for writing. */
export interface StoreReader {
  readonly dataDir: string;
  readonly lamps: Reader<Store["lamps"]>;
  readonly supports: Reader<Store["supports"]>;
  readonly coatings: Reader<Store["coatings"]>;
  readonly films: Reader<Store["films"]>;
  readonly tests: Reader<Store["tests"]>;
  readonly prints: Reader<Store["prints"]>;
  readonly madeNegatives: Reader<Store["madeNegatives"]>;
  readonly printers: Reader<Store["printers"]>;
  readonly keptCurves: Reader<Store["keptCurves"]>;
  readonly stocks: Reader<Store["stocks"]>;
  readonly tablets: Reader<Store["tablets"]>;
  readonly sunAnchors: Reader<Store["sunAnchors"]>;
  readonly sunFrames: Reader<Store["sunFrames"]>;
  readonly evennessMaps: Reader<Store["evennessMaps"]>;
  readonly changes: Reader<Store["changes"]>;
  readonly queue: Reader<Store["queue"]>;
  readonly fading: Reader<Store["fading"]>;
  readonly studioFacts: Reader<Store["studioFacts"]>;
  sunTestIds(limit: number): string[];
  readonly devices: Pick<Store["devices"], "list" | "get" | "findBySecret" | "isSwitchedOn">;
  readonly pictures: Pick<Pictures, "list" | "find" | "get" | "read" | "mustBeHere" | "unusedBytes">;
  readonly previews: Pick<PreviewFolder, "read">;
  keptStates: Store["keptStates"];
  lookThrough: Store["lookThrough"];
  readonly news: NewsReader;
}

export interface StoreOptions {
  /**
   * Take the folder for this process alone: a second server on it is refused, and what a killed one left can go at
   * once.
   */
  readonly isAlone?: boolean;
  /** Folder of the states that are kept; "backups" in the data folder unless given. */
  readonly keptDir?: string;
  readonly now?: () => Date;
  readonly migrations?: readonly Migration[];
}

/** Passing files are left alone for this long. */
const passingAgeMs = 3_600_000;

/**
 * Opens the data folder, making or migrating what is there, and clears away pictures that nothing refers to.
 *
 * @throws StoreError with one plain line when the folder cannot be used.
 */
export function openStore(
  dataDir: string,
  {
    now = () => new Date(),
    migrations: steps = migrations,
    isAlone = false,
    keptDir = join(dataDir, keptStatesFolderName),
  }: StoreOptions = {},
): Store {
  let lock: FolderLock | undefined;
  if (isAlone) {
    orUnusable(dataDir, () => makeFolder(dataDir));
    lock = orUnusable(dataDir, () => lockFolder(dataDir));
  }
  try {
    return openStoreIn(dataDir, { now, migrations: steps, lock, keptDir });
  } catch (error) {
    lock?.release();
    throw error;
  }
}

function openStoreIn(
  dataDir: string,
  {
    now,
    migrations: steps,
    lock,
    keptDir,
  }: { now: () => Date; migrations: readonly Migration[]; lock: FolderLock | undefined; keptDir: string },
): Store {
  // Before SQLite makes an empty database there, and before it drops the log of one that is missing.
  if (isMissingOrEmpty(join(dataDir, databaseName))) refuseStrayPictures(dataDir);
  const sql = orUnusable(dataDir, () => openDatabase(dataDir));
  try {
    const isNew =
      orUnusable(dataDir, () => sql.get("SELECT name FROM sqlite_schema WHERE name = ?", schemaTable)) === undefined;
    if (isNew) {
      refuseStrayPictures(dataDir);
      refuseForeignDatabase(dataDir, sql);
    }
    refuseDamagedDatabase(dataDir, sql);
    const pictures = orUnusable(dataDir, () => pictureFolder({ sql, dataDir, now }));
    const keeping = { sql, folder: keptDir, now };
    if (!isNew && mustMigrate(sql, steps))
      orUnusable(dataDir, () =>
        keepState(
          keeping,
          "before-migration",
          pictures.list().map(({ file }) => file),
        ),
      );
    orUnusable(dataDir, () => migrate(sql, steps));
    orUnusable(dataDir, () => {
      pictures.removeUnused(lock === undefined ? {} : { halfWrittenAgeMs: 0 });
      pictures.setUnknownAside();
      removePassingFiles(dataDir, lock === undefined ? passingAgeMs : 0, now);
    });
    const previews = previewFolder(dataDir, (pictureId) => pictures.find(pictureId) !== undefined);
    const listPictures = (): StoredPicture[] => pictures.list();
    const news = newsBoard();
    const noteRestored = (): void => news.tell({ kind: "everything", id: null, what: "saved" });
    const restoring = restorer({ sql, dataDir, now, keptDir, listPictures, migrations: steps, noteRestored });
    return {
      ...openTables({ sql, now, board: news }),
      dataDir,
      news,
      sunTestIds: (limit) => sunTestIds(sql, limit),
      pictures,
      previews,
      transaction: (work) => sql.transaction(work),
      backup: (version) => backupPieces({ sql, dataDir, now, version, listPictures }),
      ...restoring,
      lookThrough: () => lookThrough({ sql, dataDir, listPictures }),
      keptStates: () => keptStates(keptDir),
      keepState: (reason) =>
        keepStateSlowly(
          keeping,
          reason,
          pictures.list().map(({ file }) => file),
        ),
      close() {
        news.end();
        restoring.close();
        sql.close();
        lock?.release();
      },
    };
  } catch (error) {
    sql.close();
    throw error;
  }
}

/** Pictures beside a database that was only just made belong to one that is missing: nothing may be touched then. */
function refuseStrayPictures(dataDir: string): void {
  const pictureFiles = countPictureFiles(dataDir);
  if (pictureFiles === 0) return;
  throw new StoreError(
    `The data folder ${dataDir} holds ${pictureFiles} pictures, but ${databaseName} is missing or empty. Nothing ` +
      `was changed: put ${databaseName} back, ` +
      `or restore a backup into an empty folder (DATA_DIR). To begin anew here, move the folder "pictures" away first.`,
  );
}

/** A database of another program must not get our tables. */
function refuseForeignDatabase(dataDir: string, sql: Sql): void {
  if (orUnusable(dataDir, () => sql.get("SELECT name FROM sqlite_schema LIMIT 1")) === undefined) return;
  throw new StoreError(
    `The data folder ${dataDir} cannot be used (${databaseName} in it belongs to another program). Point DATA_DIR ` +
      "to another folder.",
  );
}

/**
 * A look through the whole database, without the contents of its indexes: a fraction of a second, and it finds torn
 * pages.
 */
function refuseDamagedDatabase(dataDir: string, sql: Sql): void {
  const found = orUnusable(dataDir, () => sql.all("PRAGMA quick_check(1)")).map((row) => Object.values(row)[0]);
  if (found[0] === "ok") return;
  throw new StoreError(
    `The data folder ${dataDir} cannot be used (${databaseName} in it is damaged: restore a backup). Nothing was ` +
      "changed.",
  );
}

function isMissingOrEmpty(file: string): boolean {
  const found = existsSync(file) ? statSync(file) : undefined;
  return found === undefined || (found.isFile() && found.size === 0);
}

/** What a backup or restore that was killed left behind; younger files may belong to another process. */
function removePassingFiles(dataDir: string, minimumAgeMs: number, now: () => Date): void {
  for (const name of readdirSync(dataDir)) {
    const path = join(dataDir, name);
    if (name.startsWith(passingPrefix) && now().getTime() - statSync(path).mtimeMs >= minimumAgeMs)
      rmSync(path, { recursive: true, force: true });
  }
}

function openDatabase(dataDir: string): Sql {
  makeFolder(dataDir);
  accessSync(dataDir, constants.R_OK | constants.W_OK | constants.X_OK);
  const file = join(dataDir, databaseName);
  if (existsSync(file) && !statSync(file).isFile())
    throw Object.assign(new Error("The database is a folder."), { code: "EISDIR" });
  if (existsSync(file)) accessSync(file, constants.R_OK | constants.W_OK);
  return openSql(file);
}

/** Step by step, since Node's own recursive way never returns where a file system such as /proc takes no folder. */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  if (dirname(folder) !== folder) makeFolder(dirname(folder));
  try {
    mkdirSync(folder);
  } catch (error) {
    if (!existsSync(folder)) throw error;
  }
}
