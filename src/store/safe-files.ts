// Files that are whole or absent: written beside, forced to the disk, renamed.
import { randomBytes } from "node:crypto";
import { mkdir, open, rename, rm } from "node:fs/promises";
import { dirname } from "node:path";

/** Ending of a file that is being written. */
export const unfinishedEnding = ".part";

/** Writes to a temporary name, forces it to the disk, renames it, and forces the folder: a file is whole or absent. */
export async function writeFileSafely(file: string, bytes: Uint8Array): Promise<void> {
  const folder = dirname(file);
  await mkdir(folder, { recursive: true });
  const temporary = `${file}.${randomBytes(4).toString("hex")}${unfinishedEnding}`;
  try {
    const handle = await open(temporary, "wx");
    try {
      await handle.writeFile(bytes);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, file);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
  await syncFolder(folder);
  await syncFolder(dirname(folder));
}

/** Forces a file's bytes to the disk. */
export async function syncFile(file: string): Promise<void> {
  const handle = await open(file, "r+");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Forces a folder's names to the disk. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
