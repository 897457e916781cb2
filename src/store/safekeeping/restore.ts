// Takes a backup in: whole and proved before anything of the data folder is touched.
import { createHash } from "node:crypto";
import { createWriteStream, existsSync, mkdirSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { once } from "node:events";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { backupFormat, damagedName, manifestName, passingPrefix, snapshotName, type BackupManifest } from "./backup.ts";
import { newId } from "#src/store/ids.ts";
import type { Migration } from "#src/store/migrations/migration.ts";
import { syncFile } from "#src/store/safe-files.ts";
import { proveDatabase, UnprovedDatabase, type DatabaseContents } from "./prove-database.ts";
import { openSql } from "#src/store/sql.ts";
import { StoreError } from "#src/store/store-error.ts";
import { TarError, tarFiles } from "./tar.ts";

const manifestSchema = z.object({
  format: z.literal(backupFormat),
  version: z.string().max(40),
  createdAt: z.string().max(40),
  pictures: z.int().min(0),
  missing: z.array(z.string().max(64)).max(1_000_000).optional(),
});
const damagedSchema = z.object({ damaged: z.array(z.string().max(64)).max(1_000_000) });
const pictureName = /^pictures\/([0-9a-f]{64})\.(jpg|png|tif|webp|bin)$/;
/** Room for the names of some hundred thousand missing pictures. */
const maxManifestBytes = 16 * 1024 * 1024;

export interface UnpackedBackup {
  readonly folder: string;
  readonly manifest: BackupManifest;
  readonly database: string;
  readonly contents: DatabaseContents;
  /** File by its place below the picture folder. */
  readonly pictures: ReadonlyMap<string, string>;
  /** Pictures that the database knows and the backup could not carry, or carried damaged. */
  readonly missing: readonly string[];
  readonly damaged: readonly string[];
  /** Files of damaged pictures. */
  readonly damagedFiles: readonly string[];
}

export interface UnpackOptions {
  readonly dataDir: string;
  readonly migrations: readonly Migration[];
  /** Take the rest of a backup in which pictures are missing or damaged though it does not say so itself. */
  readonly acceptDamaged?: boolean;
}

/**
 * Unpacks a backup beside the data and proves it: layout, hash of every picture, the database's own checks, its
 * references, and that every picture it knows is there.
 *
 * @throws InputError "backup-unreadable"; nothing has been changed then
 */
export async function unpackBackup(
  source: AsyncIterable<Uint8Array>,
  { dataDir, migrations, acceptDamaged = false }: UnpackOptions,
): Promise<UnpackedBackup> {
  const folder = join(dataDir, `${passingPrefix}${newId()}`);
  mkdirSync(folder);
  try {
    const { manifest, pictures, damaged, saidDamaged } = await unpackFiles(source, folder);
    const database = join(folder, snapshotName);
    if (!existsSync(database)) throw unreadable("it holds no database");
    if (pictures.size + damaged.size !== manifest.pictures)
      throw unreadable(`it holds ${pictures.size + damaged.size} pictures instead of ${manifest.pictures}`);
    const unsaid = [...damaged.keys()].find((id) => !saidDamaged.includes(id));
    if (unsaid !== undefined && !acceptDamaged) throw unreadable(`the picture ${unsaid.slice(0, 12)} is damaged`);
    const contents = await proveFile(database, { migrations, workFolder: folder });
    const missing = [...contents.pictures]
      .filter(([id, { place, sizeBytes }]) => !damaged.has(id) && sizeOf(pictures.get(place)) !== sizeBytes)
      .map(([id]) => id);
    const lacking = missing.find((id) => manifest.missing?.includes(id) !== true);
    if (lacking !== undefined && !acceptDamaged) throw unreadable(`the picture ${lacking.slice(0, 12)} is missing`);
    return {
      folder,
      manifest,
      database,
      contents,
      pictures,
      missing,
      damaged: [...damaged.keys()],
      damagedFiles: [...damaged.values()],
    };
  } catch (error) {
    rmSync(folder, { recursive: true, force: true });
    if (error instanceof TarError || error instanceof z.ZodError || error instanceof SyntaxError)
      throw unreadable("it is damaged, cut short, or no backup of Wedgewright", error);
    throw error;
  }
}

function sizeOf(file: string | undefined): number {
  return file === undefined ? -1 : statSync(file).size;
}

async function unpackFiles(
  source: AsyncIterable<Uint8Array>,
  folder: string,
): Promise<{
  manifest: BackupManifest;
  pictures: Map<string, string>;
  damaged: Map<string, string>;
  saidDamaged: readonly string[];
}> {
  let manifest: BackupManifest | undefined;
  const pictures = new Map<string, string>();
  const damaged = new Map<string, string>();
  let saidDamaged: readonly string[] = [];
  for await (const { name, sizeBytes, bytes } of tarFiles(source)) {
    if (manifest === undefined) {
      if (name !== manifestName || sizeBytes > maxManifestBytes)
        throw unreadable("it does not begin like a backup of Wedgewright");
      manifest = manifestFrom(await wholeText(bytes));
    } else if (name === snapshotName && !existsSync(join(folder, snapshotName))) {
      await writeHashed(join(folder, snapshotName), bytes);
    } else if (name === damagedName && sizeBytes <= maxManifestBytes) {
      saidDamaged = damagedSchema.parse(JSON.parse(await wholeText(bytes))).damaged;
    } else {
      const [, id, extension] = pictureName.exec(name) ?? [];
      if (id === undefined) throw unreadable(`it holds something unknown (${name.slice(0, 80)})`);
      const place = join(id.slice(0, 2), `${id}.${extension}`);
      const file = join(folder, "pictures", place);
      mkdirSync(dirname(file), { recursive: true });
      if (existsSync(file)) throw unreadable(`it holds the picture ${id.slice(0, 12)} twice`);
      if ((await writeHashed(file, bytes)) === id) pictures.set(place, file);
      else damaged.set(id, file);
    }
  }
  if (manifest === undefined) throw unreadable("it is empty");
  return { manifest, pictures, damaged, saidDamaged };
}

function manifestFrom(text: string): BackupManifest {
  const raw: unknown = JSON.parse(text);
  if (
    typeof raw === "object" &&
    raw !== null &&
    "format" in raw &&
    typeof raw.format === "number" &&
    raw.format > backupFormat
  )
    throw unreadable("it was written by a newer version of Wedgewright: install that version first");
  return manifestSchema.parse(raw);
}

async function wholeText(bytes: AsyncIterable<Uint8Array>): Promise<string> {
  const parts: Uint8Array[] = [];
  for await (const part of bytes) parts.push(part);
  return Buffer.concat(parts).toString("utf8");
}

/** Writes a file, forces it to the disk, and gives its SHA-256. */
async function writeHashed(file: string, bytes: AsyncIterable<Uint8Array>): Promise<string> {
  const hash = createHash("sha256");
  const out = createWriteStream(file, { flags: "wx" });
  const failed = once(out, "error").then(([error]) => Promise.reject(error as Error));
  failed.catch(() => undefined);
  try {
    for await (const part of bytes) {
      hash.update(part);
      if (!out.write(part)) await Promise.race([once(out, "drain"), failed]);
    }
    out.end();
    await Promise.race([once(out, "close"), failed]);
  } catch (error) {
    out.destroy();
    throw error;
  }
  await syncFile(file);
  return hash.digest("hex");
}

async function proveFile(
  database: string,
  options: { migrations: readonly Migration[]; workFolder: string },
): Promise<DatabaseContents> {
  let sql;
  try {
    sql = openSql(database);
    const contents = proveDatabase(sql, options);
    // Back to one file, so that it can be moved by one rename.
    sql.get("PRAGMA wal_checkpoint(TRUNCATE)");
    sql.get("PRAGMA journal_mode = DELETE");
    sql.close();
    await syncFile(database);
    return contents;
  } catch (error) {
    if (error instanceof UnprovedDatabase) throw unreadable(error.message, error);
    if (error instanceof StoreError)
      throw unreadable("it was written by a newer version of Wedgewright: install that version first", error);
    if (isFullDisk(error)) throw error;
    throw unreadable("its database cannot be opened", error);
  } finally {
    sql?.close();
  }
}

function isFullDisk(error: unknown): boolean {
  return error instanceof Error && "code" in error && ["ENOSPC", "EDQUOT", "SQLITE_FULL"].includes(String(error.code));
}

function unreadable(why: string, cause?: unknown): InputError {
  return new InputError("backup-unreadable", `This backup cannot be restored: ${why}. Nothing was changed.`, {
    field: "backup",
    cause,
  });
}
