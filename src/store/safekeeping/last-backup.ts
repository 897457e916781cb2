// When everything was last saved as one file by hand. It is of this machine, not of the data: a restore does not bring
// it back.
import { existsSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";

const fileName = "last-backup.json";
const recordSchema = z.object({ at: z.string() });

/** When the last backup was saved; null when none was, or nobody knows. */
export function lastBackupAt(dataDir: string): Date | null {
  const file = join(dataDir, fileName);
  if (!existsSync(file)) return null;
  try {
    const at = new Date(recordSchema.parse(JSON.parse(readFileSync(file, "utf8"))).at);
    return Number.isNaN(at.getTime()) ? null : at;
  } catch {
    return null;
  }
}

export function noteBackup(dataDir: string, at: Date): void {
  const file = join(dataDir, fileName);
  writeFileSync(`${file}.part`, JSON.stringify({ at: at.toISOString() }));
  renameSync(`${file}.part`, file);
}
