// Everything as one file: a manifest, a snapshot of the database, and the pictures, as a plain tape archive.
import { createReadStream, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { newId } from "./ids.ts";
import type { Sql } from "./sql.ts";
import type { StoredPicture } from "./pictures.ts";
import { tarEnd, tarHeader, tarPadding } from "./tar.ts";

/** Number of the archive's layout. */
export const backupFormat = 1;
export const manifestName = "wedgewright-backup.json";
export const snapshotName = "wedgewright.db";
/** Beginning of the names of passing files in the data folder, which a start clears away. */
export const passingPrefix = "passing-";

export interface BackupManifest {
  readonly format: number;
  /** Version of the program that wrote it. */
  readonly version: string;
  readonly createdAt: string;
  readonly pictures: number;
}

interface BackupTools {
  readonly sql: Sql;
  readonly dataDir: string;
  readonly now: () => Date;
  readonly version: string;
  readonly listPictures: () => StoredPicture[];
}

/** The archive, piece by piece. The snapshot is of the moment of the first piece; it is removed when the reading ends. */
export async function* backupPieces({
  sql,
  dataDir,
  now,
  version,
  listPictures,
}: BackupTools): AsyncGenerator<Uint8Array> {
  const snapshot = join(dataDir, `${passingPrefix}${newId()}.db`);
  try {
    sql.run("VACUUM INTO ?", snapshot);
    const pictures = listPictures();
    const at = now();
    const manifest: BackupManifest = {
      format: backupFormat,
      version,
      createdAt: at.toISOString(),
      pictures: pictures.length,
    };
    const manifestBytes = new TextEncoder().encode(JSON.stringify(manifest, null, 1));
    yield tarHeader({ name: manifestName, sizeBytes: manifestBytes.byteLength, modified: at });
    yield manifestBytes;
    yield tarPadding(manifestBytes.byteLength);
    yield* filePieces(snapshotName, snapshot, at);
    for (const picture of pictures) yield* filePieces(archiveNameOf(picture), picture.file, at);
    yield tarEnd;
  } finally {
    rmSync(snapshot, { force: true });
  }
}

export function archiveNameOf(picture: Pick<StoredPicture, "id" | "file">): string {
  return `pictures/${picture.id}${picture.file.slice(picture.file.lastIndexOf("."))}`;
}

async function* filePieces(name: string, file: string, modified: Date): AsyncGenerator<Uint8Array> {
  const sizeBytes = statSync(file).size;
  yield tarHeader({ name, sizeBytes, modified });
  let given = 0;
  if (sizeBytes > 0) {
    for await (const piece of createReadStream(file, { end: sizeBytes - 1 }) as AsyncIterable<Uint8Array>) {
      given += piece.byteLength;
      yield piece;
    }
  }
  if (given !== sizeBytes) throw new Error(`${file} changed while it was backed up.`);
  yield tarPadding(sizeBytes);
}
