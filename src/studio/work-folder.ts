// Folders in the system's temporary place for pictures and negatives under way. Each is named for its process, so that
// a start can clear away what a process that was killed has left.
import { readdirSync, rmSync, statSync } from "node:fs";
import { mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

const namePattern = /^wedgewright-(\d+)-\w{6}$/;
/** Folders of versions that named no process: left alone while they may be in use. */
const namelessPattern = /^wedgewright-\w{6}$/;
const namelessAgeMs = 24 * 3_600_000;

/** A new empty folder; whoever asked for it removes it. */
export function makeWorkFolder(): Promise<string> {
  return mkdtemp(join(tmpdir(), `wedgewright-${process.pid}-`));
}

/**
 * Removes work folders of processes that are gone; at a start also those that carry this process's own number. Gives
 * how many.
 */
export function sweepWorkFolders({
  atStart = false,
  place = tmpdir(),
}: { atStart?: boolean; place?: string } = {}): number {
  let removed = 0;
  for (const name of readdirSync(place)) {
    const path = join(place, name);
    try {
      if (!isLeftover(path, name, atStart)) continue;
      rmSync(path, { recursive: true, force: true });
      removed += 1;
    } catch {
      // Another user's folder, or one that has just gone: not ours to remove.
    }
  }
  return removed;
}

/** Removes the work folders of this process, as it ends. */
export function removeOwnWorkFolders(): void {
  for (const name of readdirSync(tmpdir()))
    if (name.startsWith(`wedgewright-${process.pid}-`)) rmSync(join(tmpdir(), name), { recursive: true, force: true });
}

/** Whether a folder was left by a process that is gone; at a start, also by one of this process's own number. */
function isLeftover(path: string, name: string, atStart: boolean): boolean {
  const pid = Number(namePattern.exec(name)?.[1] ?? Number.NaN);
  if (Number.isNaN(pid)) return namelessPattern.test(name) && Date.now() - statSync(path).mtimeMs > namelessAgeMs;
  return pid === process.pid ? atStart : !isRunning(pid);
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && "code" in error && error.code === "EPERM";
  }
}
