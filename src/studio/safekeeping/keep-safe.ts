// Whether the studio's work is safe: when it was last saved elsewhere, and what the program keeps by itself.
import { lastBackupAt, noteBackup } from "#src/store/safekeeping/last-backup.ts";
import type { LookedThrough } from "#src/store/safekeeping/look-through.ts";
import type { HeldBackup } from "#src/store/safekeeping/restorer.ts";
import { version } from "#src/version.ts";
import type { Restored } from "./back-up.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** A reminder comes after so many days or so many new tests, whichever is first. */
const reminderDays = 30;
const reminderTests = 10;
const dayMs = 24 * 3_600_000;
/** One state is kept for each stretch of this length in which the server runs. */
const keptEveryMs = 20 * 3_600_000;

export interface Safety {
  /** When everything was last saved as one file; null when it never was. */
  readonly lastBackupAt: string | null;
  /** Tests of the studio's own made since then. */
  readonly testsSince: number;
  /** Days since then, or since the first of those tests; null without tests. */
  readonly daysSince: number | null;
  /** Whether it is time to save again. */
  readonly isDue: boolean;
}

/** How much would be lost today. Invented samples do not count. */
export function safetyOf({ store }: Pick<Tools, "store">, now: Date): Safety {
  const last = lastBackupAt(store.dataDir);
  const { count, oldestAt } = store.tests.ownSince(last?.toISOString() ?? "");
  const since = last ?? (oldestAt === null ? null : new Date(oldestAt));
  const daysSince = since === null ? null : Math.floor((now.getTime() - since.getTime()) / dayMs);
  return {
    lastBackupAt: last?.toISOString() ?? null,
    testsSince: count,
    daysSince,
    isDue: count > 0 && (count >= reminderTests || (daysSince ?? 0) >= reminderDays),
  };
}

/** Remembers that everything was saved as one file. */
export function noteBackupTaken({ store }: Pick<Tools, "store">, now: Date): void {
  noteBackup(store.dataDir, now);
}

/** Keeps the present state when the last one is older than a day. @returns its name, or null when none was due */
export async function keepDailyState({ store }: Pick<Tools, "store">, now: Date): Promise<string | null> {
  const newest = store.keptStates().find(({ reason }) => reason === "daily");
  if (newest !== undefined && now.getTime() - newest.at.getTime() < keptEveryMs) return null;
  if (store.pictures.list().length === 0 && store.lamps.list({ archived: true }).length === 0) return null;
  return forWriting(store).keepState("daily");
}

const underWay = new WeakMap<object, Promise<LookedThrough>>();

/** Looks through everything; who asks while somebody's look is under way gets that one's answer. */
export function lookThroughStore({ store }: Pick<Tools, "store">): Promise<LookedThrough> {
  const already = underWay.get(store);
  if (already !== undefined) return already;
  const look = store.lookThrough().finally(() => underWay.delete(store));
  underWay.set(store, look);
  return look;
}

/** Looks into a backup without restoring it. @throws InputError "backup-unreadable" or "busy" */
export function lookIntoBackup(
  { store }: Pick<Tools, "store">,
  source: AsyncIterable<Uint8Array>,
): Promise<HeldBackup> {
  return forWriting(store).hold(source);
}

/** Restores a backup that was looked into. @throws InputError "not-found" or "busy" */
export async function restoreHeldBackup({ store }: Pick<Tools, "store">, id: string): Promise<Restored> {
  const {
    missing,
    damaged,
    replaced,
    createdAt,
    version: writtenBy,
    pictures,
  } = await forWriting(store).restoreHeld(id);
  return { createdAt, version: writtenBy, tests: store.tests.count(), pictures, missing, damaged, replaced };
}

/** Goes back to a state that the program kept. @throws InputError "not-found" or "busy" */
export async function restoreKeptState({ store }: Pick<Tools, "store">, name: string): Promise<Restored> {
  const { missing, damaged, replaced, createdAt, pictures } = await forWriting(store).restoreKept(name);
  return { createdAt, version, tests: store.tests.count(), pictures, missing, damaged, replaced };
}
