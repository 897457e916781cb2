// Earlier states that the program keeps by itself, each a snapshot of the database with the list of its pictures: one a
// day, one before a migration, and whatever a restore replaced. Pictures never change, so that all states share one
// folder of them.
import {
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { copyFile, rename } from "node:fs/promises";
import { basename, join } from "node:path";
import { InputError } from "#shared/errors.ts";
import { archivePieces, snapshotName } from "./backup.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql } from "#src/store/sql.ts";

/** Folder of the states inside the data folder, unless a setting names another. */
export const keptStatesFolderName = "backups";
const picturesName = "pictures";
const listName = "pictures.json";
const unfinishedEnding = ".part";

export type KeptReason = "daily" | "before-migration" | "replaced";

/** How many states of each kind are kept; of the daily ones besides, one for each of so many weeks. */
const mostKept: Readonly<Record<KeptReason, number>> = { daily: 7, "before-migration": 3, replaced: 3 };
const keptWeeks = 4;
const weekMs = 7 * 24 * 3_600_000;
const replacedAgeMs = 30 * 24 * 3_600_000;

export interface KeptState {
  /** Name of its folder. */
  readonly name: string;
  readonly reason: KeptReason;
  readonly at: Date;
}

export interface KeepTools {
  readonly sql: Sql;
  /** Folder of the kept states. */
  readonly folder: string;
  readonly now: () => Date;
}

const namePattern = /^(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)-(\d{3})Z-(daily|before-migration|replaced)$/;

/** The kept states, newest first. */
export function keptStates(folder: string): KeptState[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .map(stateFrom)
    .filter((state) => state !== undefined)
    .filter(({ name }) => existsSync(join(folder, name, snapshotName)))
    .sort((one, other) => other.at.getTime() - one.at.getTime());
}

function stateFrom(name: string): KeptState | undefined {
  const [, day, hours, minutes, seconds, milliseconds, reason] = namePattern.exec(name) ?? [];
  if (reason === undefined) return undefined;
  return { name, reason: reason as KeptReason, at: new Date(`${day}T${hours}:${minutes}:${seconds}.${milliseconds}Z`) };
}

/**
 * Keeps the present state, without waiting for anything; pictures get second names, or are copied where there are none.
 * @returns its name
 */
export function keepState(tools: KeepTools, reason: KeptReason, pictureFiles: readonly string[]): string {
  const state = beginState(tools, reason, pictureFiles);
  for (const file of state.lacking) {
    const target = join(tools.folder, picturesName, basename(file));
    try {
      linkSync(file, target);
    } catch {
      if (!existsSync(file) || existsSync(target)) continue;
      copyFileSync(file, target + unfinishedEnding);
      renameSync(target + unfinishedEnding, target);
    }
  }
  return finishState(tools, state);
}

/** The same for a state that may lie on another disk: pictures are copied one by one while the server works. */
export async function keepStateSlowly(
  tools: KeepTools,
  reason: KeptReason,
  pictureFiles: readonly string[],
): Promise<string> {
  const state = beginState(tools, reason, pictureFiles);
  for (const file of state.lacking) {
    const target = join(tools.folder, picturesName, basename(file));
    try {
      linkSync(file, target);
    } catch {
      // Another disk, or a picture that was deleted meanwhile.
      await copyFile(file, target + unfinishedEnding)
        .then(() => rename(target + unfinishedEnding, target))
        .catch(() => rmSync(target + unfinishedEnding, { force: true }));
    }
  }
  return finishState(tools, state);
}

interface BegunState {
  readonly name: string;
  readonly passing: string;
  readonly lacking: readonly string[];
}

function beginState({ sql, folder, now }: KeepTools, reason: KeptReason, pictureFiles: readonly string[]): BegunState {
  mkdirSync(join(folder, picturesName), { recursive: true });
  const passing = join(folder, `passing-${newId()}`);
  mkdirSync(passing);
  sql.run("VACUUM INTO ?", join(passing, snapshotName));
  writeFileSync(join(passing, listName), JSON.stringify(pictureFiles.map((file) => basename(file))));
  return {
    name: `${now().toISOString().replace(/[:.]/g, "-")}-${reason}`,
    passing,
    lacking: pictureFiles.filter((file) => !existsSync(join(folder, picturesName, basename(file)))),
  };
}

function finishState(tools: KeepTools, { name, passing }: BegunState): string {
  renameSync(passing, join(tools.folder, name));
  rotate(tools);
  return name;
}

/** Removes states beyond their number, what a killed run left, and pictures that no kept state knows. */
function rotate({ folder, now }: KeepTools): void {
  const states = keptStates(folder);
  const kept = new Set(keptNames(states, now()));
  for (const { name } of states) if (!kept.has(name)) rmSync(join(folder, name), { recursive: true, force: true });
  const known = new Set([...kept].flatMap((name) => pictureNamesOf(join(folder, name))));
  for (const name of readdirSync(join(folder, picturesName)))
    if (!known.has(name)) rmSync(join(folder, picturesName, name), { force: true });
}

/** Names of the states that stay. */
export function keptNames(states: readonly KeptState[], now: Date): string[] {
  const of = (reason: KeptReason): KeptState[] => states.filter((state) => state.reason === reason);
  const daily = of("daily");
  const weekly = Array.from({ length: keptWeeks }, (_, week) =>
    daily.find(({ at }) => Math.floor((now.getTime() - at.getTime()) / weekMs) === week + 1),
  ).filter((state) => state !== undefined);
  return [
    ...daily.slice(0, mostKept.daily),
    ...weekly,
    ...of("before-migration").slice(0, mostKept["before-migration"]),
    ...of("replaced")
      .slice(0, mostKept.replaced)
      .filter(({ at }) => now.getTime() - at.getTime() < replacedAgeMs),
  ].map(({ name }) => name);
}

function pictureNamesOf(stateFolder: string): string[] {
  const file = join(stateFolder, listName);
  return existsSync(file) ? (JSON.parse(readFileSync(file, "utf8")) as string[]) : [];
}

/** A kept state as an archive, as if it came from outside. @throws InputError "not-found" */
export function keptStatePieces(folder: string, name: string, version: string): AsyncGenerator<Uint8Array> {
  const state = keptStates(folder).find((each) => each.name === name);
  if (state === undefined)
    throw new InputError("not-found", "This earlier state is not kept any more. Choose another, or restore a backup.");
  const names = pictureNamesOf(join(folder, name));
  const isHere = (picture: string): boolean => existsSync(join(folder, picturesName, picture));
  const idOf = (picture: string): string => picture.split(".")[0] ?? "";
  return archivePieces({
    snapshot: join(folder, name, snapshotName),
    pictures: names.filter(isHere).map((picture) => ({
      id: idOf(picture),
      name: `pictures/${picture}`,
      file: join(folder, picturesName, picture),
    })),
    missing: names.filter((picture) => !isHere(picture)).map(idOf),
    version,
    at: state.at,
  });
}
