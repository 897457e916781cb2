// Everything as one file: a manifest, a snapshot of the database, and the pictures, as a plain tape archive.
import { createHash } from "node:crypto";
import { createReadStream, existsSync, linkSync, mkdirSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { newId } from "#src/store/ids.ts";
import type { Sql } from "#src/store/sql.ts";
import type { StoredPicture } from "#src/store/pictures.ts";
import { tarEnd, tarHeader, tarPadding } from "./tar.ts";

/** Number of the archive's layout. */
export const backupFormat = 1;
export const manifestName = "wedgewright-backup.json";
export const snapshotName = "wedgewright.db";
/** Last file of an archive whose source held pictures that are no longer what their name says. */
export const damagedName = "wedgewright-damaged.json";
/** Beginning of the names of passing files in the data folder, which a start clears away. */
export const passingPrefix = "passing-";

export interface BackupManifest {
  readonly format: number;
  /** Version of the program that wrote it. */
  readonly version: string;
  readonly createdAt: string;
  /** Pictures in the archive. */
  readonly pictures: number;
  /** Pictures that the database knows and whose files were gone when the backup was made. */
  readonly missing?: readonly string[] | undefined;
}

interface BackupTools {
  readonly sql: Sql;
  readonly dataDir: string;
  readonly now: () => Date;
  readonly version: string;
  readonly listPictures: () => StoredPicture[];
}

/**
 * The archive, piece by piece. Snapshot and pictures are of the moment of the first piece, whatever is deleted
 * meanwhile; both are held in a folder of their own until the reading ends. A missing or damaged picture is named, and
 * the rest is saved.
 */
export async function* backupPieces({
  sql,
  dataDir,
  now,
  version,
  listPictures,
}: BackupTools): AsyncGenerator<Uint8Array> {
  const folder = join(dataDir, `${passingPrefix}${newId()}`);
  mkdirSync(folder);
  try {
    const snapshot = join(folder, snapshotName);
    sql.run("VACUUM INTO ?", snapshot);
    const held = holdPictures(listPictures(), folder);
    yield* archivePieces({ ...held, snapshot, version, at: now() });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

interface HeldPicture {
  readonly id: string;
  readonly name: string;
  readonly file: string;
}

/** Second names for the pictures' files, so that they stay while they are read. */
function holdPictures(
  pictures: readonly StoredPicture[],
  folder: string,
): { pictures: HeldPicture[]; missing: string[] } {
  const held: HeldPicture[] = [];
  const missing: string[] = [];
  for (const picture of pictures) {
    if (!existsSync(picture.file)) {
      missing.push(picture.id);
      continue;
    }
    const link = join(folder, picture.id);
    let file = link;
    try {
      linkSync(picture.file, link);
    } catch {
      // A file system without second names: the picture is read where it lies.
      file = picture.file;
    }
    held.push({ id: picture.id, name: archiveNameOf(picture), file });
  }
  return { pictures: held, missing };
}

/** An archive of a snapshot and its pictures. */
export async function* archivePieces({
  snapshot,
  pictures,
  missing,
  version,
  at,
}: {
  snapshot: string;
  pictures: readonly HeldPicture[];
  missing: readonly string[];
  version: string;
  at: Date;
}): AsyncGenerator<Uint8Array> {
  const manifest: BackupManifest = {
    format: backupFormat,
    version,
    createdAt: at.toISOString(),
    pictures: pictures.length,
    ...(missing.length === 0 ? {} : { missing }),
  };
  yield* textPieces(manifestName, JSON.stringify(manifest, null, 1), at);
  yield* filePieces(snapshotName, snapshot, at);
  const damaged: string[] = [];
  for (const { id, name, file } of pictures) {
    const hash = yield* filePieces(name, file, at);
    if (hash !== id) damaged.push(id);
  }
  if (damaged.length > 0) yield* textPieces(damagedName, JSON.stringify({ damaged }, null, 1), at);
  yield tarEnd;
}

function archiveNameOf(picture: Pick<StoredPicture, "id" | "file">): string {
  return `pictures/${picture.id}${picture.file.slice(picture.file.lastIndexOf("."))}`;
}

function* textPieces(name: string, text: string, modified: Date): Generator<Uint8Array> {
  const bytes = new TextEncoder().encode(text);
  yield tarHeader({ name, sizeBytes: bytes.byteLength, modified });
  yield bytes;
  yield tarPadding(bytes.byteLength);
}

/** One file of the archive; gives the SHA-256 of its bytes. */
async function* filePieces(name: string, file: string, modified: Date): AsyncGenerator<Uint8Array, string> {
  const sizeBytes = statSync(file).size;
  const hash = createHash("sha256");
  yield tarHeader({ name, sizeBytes, modified });
  let given = 0;
  if (sizeBytes > 0) {
    for await (const piece of createReadStream(file, { end: sizeBytes - 1 }) as AsyncIterable<Uint8Array>) {
      given += piece.byteLength;
      hash.update(piece);
      yield piece;
    }
  }
  if (given !== sizeBytes) throw new Error(`${file} changed while it was backed up.`);
  yield tarPadding(sizeBytes);
  return hash.digest("hex");
}
