// Puts a proved backup in the place of what is here, and keeps what it replaces, so that a restore can be undone.
import { copyFileSync, existsSync, linkSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { InputError } from "#shared/errors.ts";
import { snapshotName } from "./backup.ts";
import { newId } from "./ids.ts";
import { schemaTable } from "./migrate.ts";
import { lostFolderName, picturesFolderName, syncFolder, type StoredPicture } from "./pictures.ts";
import type { UnpackedBackup } from "./restore.ts";
import type { Sql } from "./sql.ts";

/** Folder of states that a restore replaced, each a snapshot with its pictures. */
export const replacedFolderName = "replaced";
/** Replaced states that are kept, and for how long. */
const mostReplaced = 3;
const replacedAgeMs = 30 * 24 * 3_600_000;

export interface ExchangeTools {
  readonly sql: Sql;
  readonly dataDir: string;
  readonly now: () => Date;
  readonly listPictures: () => StoredPicture[];
}

/**
 * Exchanges everything for a proved backup. The pictures go in first; then, without waiting for anything, what is here is kept aside
 * and the rows are exchanged in one transaction.
 * @returns the name of the replaced state
 * @throws InputError "busy" when a picture was deleted meanwhile; nothing has changed then
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
  const replaced = keepReplaced(tools);
  const before = tools.listPictures();
  try {
    tools.sql.takeRowsFrom(unpacked.database, [schemaTable]);
  } catch (error) {
    rmSync(join(tools.dataDir, replacedFolderName, replaced), { recursive: true, force: true });
    throw error;
  }
  // What only the replaced state knows lives on in its folder.
  const known = new Set(tools.listPictures().map(({ id }) => id));
  for (const { id, file } of before) if (!known.has(id)) rmSync(file, { force: true });
  if (unpacked.damagedFiles.length > 0) {
    const lost = join(tools.dataDir, lostFolderName);
    mkdirSync(lost, { recursive: true });
    for (const file of unpacked.damagedFiles) renameSync(file, join(lost, basename(file)));
  }
  removeOldReplaced(tools);
  return replaced;
}

/** A second name for a file, in the place of whatever stands there; a copy where the file system knows no second names. */
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

/** A snapshot of what is here, with second names of its pictures. */
function keepReplaced({ sql, dataDir, now, listPictures }: ExchangeTools): string {
  const name = now().toISOString().replace(/[:.]/g, "-");
  const folder = join(dataDir, replacedFolderName, name);
  mkdirSync(join(folder, picturesFolderName), { recursive: true });
  sql.run("VACUUM INTO ?", join(folder, snapshotName));
  for (const { file } of listPictures())
    if (existsSync(file)) secondName(file, join(folder, picturesFolderName, basename(file)));
  return name;
}

/** Names of the replaced states, newest first. */
export function replacedStates(dataDir: string): string[] {
  const folder = join(dataDir, replacedFolderName);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((name) => existsSync(join(folder, name, snapshotName)))
    .sort()
    .reverse();
}

/** @throws InputError "not-found" */
export function replacedState(dataDir: string, name: string): string {
  if (!replacedStates(dataDir).includes(name))
    throw new InputError("not-found", "This earlier state is not kept any more. Restore a backup instead.");
  return join(dataDir, replacedFolderName, name);
}

function removeOldReplaced({ dataDir, now }: ExchangeTools): void {
  for (const [index, name] of replacedStates(dataDir).entries()) {
    const folder = join(dataDir, replacedFolderName, name);
    if (index >= mostReplaced || now().getTime() - statSync(folder).mtimeMs > replacedAgeMs)
      rmSync(folder, { recursive: true, force: true });
  }
}
