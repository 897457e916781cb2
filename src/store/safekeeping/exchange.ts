// Puts a proved backup in the place of what is here, and keeps what it replaces, so that a restore can be undone.
import { copyFileSync, existsSync, linkSync, mkdirSync, renameSync, rmSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { newId } from "#src/store/ids.ts";
import { keepState } from "./kept-states.ts";
import { deviceTables } from "#src/store/records/devices.ts";
import { schemaTable } from "#src/store/migrate.ts";
import { lostFolderName, picturesFolderName, type StoredPicture } from "#src/store/pictures.ts";
import { syncFolder } from "#src/store/safe-files.ts";
import type { UnpackedBackup } from "./restore.ts";
import type { Sql } from "#src/store/sql.ts";

export interface ExchangeTools {
  readonly sql: Sql;
  readonly dataDir: string;
  readonly now: () => Date;
  /** Folder of the kept states. */
  readonly keptDir: string;
  readonly listPictures: () => StoredPicture[];
}

/**
 * Exchanges everything for a proved backup. The pictures go in first; then, without waiting for anything, what is here
 * is kept aside and the rows are exchanged in one transaction.
 * @returns the name of the replaced state
 */
export async function exchange(unpacked: UnpackedBackup, tools: ExchangeTools): Promise<string> {
  const pictureFolder = join(tools.dataDir, picturesFolderName);
  const folders = new Set<string>([pictureFolder]);
  const moveIn = (place: string, file: string): void => {
    const target = join(pictureFolder, place);
    mkdirSync(dirname(target), { recursive: true });
    secondName(file, target);
    folders.add(dirname(target));
  };
  for (const [place, file] of unpacked.pictures) moveIn(place, file);
  for (const folder of folders) await syncFolder(folder);
  // From here on nothing waits: whoever deletes a test, does it before or after.
  for (const [place, file] of unpacked.pictures) if (!existsSync(join(pictureFolder, place))) moveIn(place, file);
  const before = tools.listPictures();
  const replaced = keepState(
    { sql: tools.sql, folder: tools.keptDir, now: tools.now },
    "replaced",
    before.map(({ file }) => file),
  );
  tools.sql.takeRowsFrom(unpacked.database, [schemaTable, ...deviceTables]);
  // What only the replaced state knows lives on there.
  const known = new Set(tools.listPictures().map(({ id }) => id));
  for (const { id, file } of before) if (!known.has(id)) rmSync(file, { force: true });
  if (unpacked.damagedFiles.length > 0) {
    const lost = join(tools.dataDir, lostFolderName);
    mkdirSync(lost, { recursive: true });
    for (const file of unpacked.damagedFiles) renameSync(file, join(lost, basename(file)));
  }
  return replaced;
}

/**
 * A second name for a file, in the place of whatever stands there; a copy where the file system knows no second names.
 */
function secondName(file: string, target: string): void {
  const passing = `${target}.${newId()}.part`;
  try {
    linkSync(file, passing);
  } catch {
    copyFileSync(file, passing);
  }
  renameSync(passing, target);
  // Two names of one file are left as they are by a rename.
  rmSync(passing, { force: true });
}
