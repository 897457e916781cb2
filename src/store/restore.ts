// Takes a backup in: whole and proved before anything of the data folder is touched.
import { createHash } from "node:crypto";
import { createWriteStream, existsSync, mkdirSync, renameSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { once } from "node:events";
import { z } from "zod";
import { InputError } from "#shared/errors.ts";
import { backupFormat, manifestName, passingPrefix, snapshotName, type BackupManifest } from "./backup.ts";
import { newId } from "./ids.ts";
import { migrate } from "./migrate.ts";
import type { Migration } from "./migrations/migration.ts";
import { syncFile, syncFolder } from "./pictures.ts";
import { openSql } from "./sql.ts";
import { StoreError } from "./store-error.ts";
import { TarError, tarFiles } from "./tar.ts";

const manifestSchema = z.object({
  format: z.literal(backupFormat),
  version: z.string().max(40),
  createdAt: z.string().max(40),
  pictures: z.int().min(0),
});
const pictureName = /^pictures\/([0-9a-f]{64})\.(jpg|png|tif|webp|bin)$/;
const maxManifestBytes = 64 * 1024;

export interface UnpackedBackup {
  readonly folder: string;
  readonly manifest: BackupManifest;
  readonly database: string;
  /** File by its place below the picture folder. */
  readonly pictures: ReadonlyMap<string, string>;
}

/**
 * Unpacks a backup beside the data and proves it: layout, hash of every picture, the database's own checks, its references,
 * and that every picture it knows is there.
 *
 * @throws InputError "backup-unreadable"; nothing has been changed then
 */
export async function unpackBackup(
  source: AsyncIterable<Uint8Array>,
  { dataDir, migrations }: { dataDir: string; migrations: readonly Migration[] },
): Promise<UnpackedBackup> {
  const folder = join(dataDir, `${passingPrefix}${newId()}`);
  mkdirSync(folder);
  try {
    const { manifest, pictures } = await unpackFiles(source, folder);
    const database = join(folder, snapshotName);
    if (!existsSync(database)) throw unreadable("it holds no database");
    await proveDatabase(database, pictures, migrations);
    if (pictures.size !== manifest.pictures)
      throw unreadable(`it holds ${pictures.size} pictures instead of ${manifest.pictures}`);
    return { folder, manifest, database, pictures };
  } catch (error) {
    rmSync(folder, { recursive: true, force: true });
    if (error instanceof TarError || error instanceof z.ZodError || error instanceof SyntaxError)
      throw unreadable("it is damaged, cut short, or no backup of Wedgewright", error);
    throw error;
  }
}

async function unpackFiles(
  source: AsyncIterable<Uint8Array>,
  folder: string,
): Promise<{ manifest: BackupManifest; pictures: Map<string, string> }> {
  let manifest: BackupManifest | undefined;
  const pictures = new Map<string, string>();
  for await (const { name, sizeBytes, bytes } of tarFiles(source)) {
    if (manifest === undefined) {
      if (name !== manifestName || sizeBytes > maxManifestBytes)
        throw unreadable("it does not begin like a backup of Wedgewright");
      manifest = manifestFrom(await wholeText(bytes));
    } else if (name === snapshotName && !existsSync(join(folder, snapshotName))) {
      await writeHashed(join(folder, snapshotName), bytes);
    } else {
      const [, id, extension] = pictureName.exec(name) ?? [];
      if (id === undefined) throw unreadable(`it holds something unknown (${name.slice(0, 80)})`);
      const place = join(id.slice(0, 2), `${id}.${extension}`);
      const file = join(folder, "pictures", place);
      mkdirSync(dirname(file), { recursive: true });
      if ((await writeHashed(file, bytes)) !== id) throw unreadable(`the picture ${id.slice(0, 12)} is damaged`);
      pictures.set(place, file);
    }
  }
  if (manifest === undefined) throw unreadable("it is empty");
  return { manifest, pictures };
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

async function proveDatabase(
  database: string,
  pictures: ReadonlyMap<string, string>,
  migrations: readonly Migration[],
): Promise<void> {
  let sql;
  try {
    sql = openSql(database);
    const health = sql.all("PRAGMA integrity_check(1)").map((row) => Object.values(row)[0]);
    if (health[0] !== "ok" || sql.all("PRAGMA foreign_key_check").length > 0)
      throw unreadable("its database is damaged");
    if (sql.get("SELECT name FROM sqlite_schema WHERE name = 'schema_steps'") === undefined)
      throw unreadable("its database is not one of Wedgewright");
    migrate(sql, migrations);
    for (const row of sql.all("SELECT id, media_type, bytes FROM pictures")) {
      const id = String(row["id"]);
      const file = [...["jpg", "png", "tif", "webp", "bin"]]
        .map((extension) => pictures.get(join(id.slice(0, 2), `${id}.${extension}`)))
        .find((each) => each !== undefined);
      if (file === undefined || statSync(file).size !== Number(row["bytes"]))
        throw unreadable(`the picture ${id.slice(0, 12)} is missing`);
    }
    // Back to one file, so that it can be moved by one rename.
    sql.get("PRAGMA wal_checkpoint(TRUNCATE)");
    sql.get("PRAGMA journal_mode = DELETE");
  } catch (error) {
    if (error instanceof InputError) throw error;
    if (error instanceof StoreError)
      throw unreadable("it was written by a newer version of Wedgewright: install that version first", error);
    throw unreadable("its database cannot be opened", error);
  } finally {
    sql?.close();
  }
  await syncFile(database);
}

/** Moves the pictures of a proved backup in. What is there under the same hash stays. Call before the database is exchanged. */
export async function moveInPictures(backup: UnpackedBackup, pictureFolder: string): Promise<void> {
  const folders = new Set<string>();
  for (const [place, file] of backup.pictures) {
    const target = join(pictureFolder, place);
    mkdirSync(dirname(target), { recursive: true });
    if (!existsSync(target) || statSync(target).size !== statSync(file).size) renameSync(file, target);
    folders.add(dirname(target));
  }
  for (const folder of [...folders, pictureFolder]) await syncFolder(folder);
}

function unreadable(why: string, cause?: unknown): InputError {
  return new InputError("backup-unreadable", `This backup cannot be restored: ${why}. Nothing was changed.`, {
    field: "backup",
    cause,
  });
}
