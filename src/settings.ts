// The only reader of the environment.
import { dirname, isAbsolute, join } from "node:path";
import { fileURLToPath } from "node:url";

export interface Settings {
  readonly host: string;
  readonly port: number;
  /** Further names under which this server may be asked, besides numbers and the machine's own names. */
  readonly allowedHosts: readonly string[];
  /** Folder of the database and the pictures. */
  readonly dataDir: string;
  /** Folder of the states that are kept each day and before migrations. */
  readonly backupDir: string;
  /** Project folder, which holds views, static, samples and .build. */
  readonly rootDir: string;
}

/** Project folder: this file runs from src/ (tests) or bundled from .build/, both one below it. */
export const rootDir = dirname(dirname(fileURLToPath(import.meta.url)));

/**
 * Settings from PORT (default 4870), HOST (default 127.0.0.1), ALLOWED_HOSTS (names, separated by commas; default none)
 * and DATA_DIR (default data/ in the project) and BACKUP_DIR (default backups/ in the data folder).
 * @throws RangeError on a bad port
 */
export function readSettings(environment: Readonly<Record<string, string | undefined>> = process.env): Settings {
  const port = environment.PORT === undefined || environment.PORT === "" ? 4870 : Number(environment.PORT);
  if (!Number.isInteger(port) || port < 0 || port > 65_535) {
    throw new RangeError(`PORT must be a whole number from 0 to 65535, not "${environment.PORT}".`);
  }
  const inProject = (folder: string): string => (isAbsolute(folder) ? folder : join(rootDir, folder));
  const dataDir = inProject(environment.DATA_DIR || "data");
  return {
    host: environment.HOST || "127.0.0.1",
    port,
    allowedHosts: (environment.ALLOWED_HOSTS ?? "").split(/[\s,]+/).filter((name) => name !== ""),
    dataDir,
    backupDir: environment.BACKUP_DIR ? inProject(environment.BACKUP_DIR) : join(dataDir, "backups"),
    rootDir,
  };
}
