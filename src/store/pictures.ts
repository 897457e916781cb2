// Picture files, named by the SHA-256 of their bytes, beside the database.
import { webcrypto } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync, utimesSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { InputError } from "#shared/errors.ts";
import { unfinishedEnding, writeFileSafely } from "./safe-files.ts";
import { isForeignKeyError, type Sql, type SqlRow } from "./sql.ts";

export interface StoredPicture {
  readonly id: string;
  readonly mediaType: PictureMediaType;
  readonly file: string;
  readonly sizeBytes: number;
}

/** A file that is safely on the disk and waits for its row. */
interface WrittenPicture {
  readonly id: string;
  readonly mediaType: PictureMediaType;
  readonly sizeBytes: number;
}

export interface Pictures {
  /** Puts the bytes safely on the disk. Follow it with `keep` or `letGo`. */
  write(bytes: Uint8Array): Promise<WrittenPicture>;
  /** Gives a written picture its row; call it in the transaction that refers to it. */
  keep(picture: WrittenPicture): string;
  /** Ends the wait of a written picture, kept or not; a file that nothing refers to goes. */
  letGo(picture: WrittenPicture): void;
  list(): StoredPicture[];
  find(id: string): StoredPicture | undefined;
  /** @throws InputError "not-found". */
  get(id: string): StoredPicture;
  /** @throws InputError "not-found", or "picture-missing" when the file is gone from the folder */
  read(id: string): Promise<Uint8Array>;
  /** @throws InputError "not-found", or "picture-missing" when the file is gone from the folder */
  mustBeHere(id: string): void;
  /** Bytes of pictures that were sent and that nothing refers to yet. */
  unusedBytes(): number;
  /** Forgets the picture unless something refers to it. */
  removeIfUnused(id: string): void;
  /**
   * Removes pictures that were sent and never used, and half-written files, which go at once where nobody else can be
   * writing; gives the number of files removed.
   */
  removeUnused(options?: { minimumAgeMs?: number; halfWrittenAgeMs?: number }): number;
  /**
   * Moves files that the database does not know out of the way, into the folder `lost` beside the pictures: a database
   * that was lost or put back from an old copy must not cost a picture. Gives the number of files moved.
   */
  setUnknownAside(options?: { minimumAgeMs?: number }): number;
}

export type PictureMediaType =
  "image/jpeg" | "image/png" | "image/tiff" | "image/webp" | "image/heic" | "application/octet-stream";

export const extensionByMediaType: Readonly<Record<PictureMediaType, string>> = {
  "image/jpeg": "jpg",
  "image/png": "png",
  "image/tiff": "tif",
  "image/webp": "webp",
  "image/heic": "heic",
  "application/octet-stream": "bin",
};

export function isPictureMediaType(text: string): text is PictureMediaType {
  return Object.hasOwn(extensionByMediaType, text);
}

/** Another process may be between a file and its row, so that young files are never taken for orphans. */
const youngMs = 3_600_000;

/** Name of the folder of pictures inside the data folder. */
export const picturesFolderName = "pictures";

/** Where files go that the database does not know; nothing in it is ever removed by the program. */
export const lostFolderName = "lost";

/** Number of whole picture files in a data folder, known to its database or not. */
export function countPictureFiles(dataDir: string): number {
  const folder = join(dataDir, picturesFolderName);
  return existsSync(folder) ? filesIn(folder).filter((file) => !file.endsWith(unfinishedEnding)).length : 0;
}

function filesIn(folder: string): string[] {
  const parts = readdirSync(folder, { withFileTypes: true }).filter((part) => part.isDirectory());
  return parts.flatMap((part) =>
    readdirSync(join(folder, part.name), { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(folder, part.name, entry.name)),
  );
}

export function pictureFolder({ sql, dataDir, now }: { sql: Sql; dataDir: string; now: () => Date }): Pictures {
  const folder = join(dataDir, picturesFolderName);
  mkdirSync(folder, { recursive: true });

  /** Files between their writing and their row, which nobody may remove. */
  const waiting = new Map<string, number>();
  function stopWaiting(id: string): void {
    const left = (waiting.get(id) ?? 1) - 1;
    if (left > 0) waiting.set(id, left);
    else waiting.delete(id);
  }

  const fileOf = (id: string, mediaType: PictureMediaType): string =>
    join(folder, id.slice(0, 2), `${id}.${extensionByMediaType[mediaType]}`);

  function pictureFrom(row: SqlRow): StoredPicture {
    const [id, mediaType] = [String(row["id"]), String(row["media_type"]) as PictureMediaType];
    return { id, mediaType, file: fileOf(id, mediaType), sizeBytes: Number(row["bytes"]) };
  }

  const oldFiles = (minimumAgeMs: number): string[] =>
    filesIn(folder).filter((file) => statSync(file).mtimeMs <= now().getTime() - minimumAgeMs);

  function find(id: string): StoredPicture | undefined {
    const row = sql.get("SELECT id, media_type, bytes FROM pictures WHERE id = ?", id);
    return row === undefined ? undefined : pictureFrom(row);
  }

  function get(id: string): StoredPicture {
    const picture = find(id);
    if (picture === undefined)
      throw new InputError("not-found", "There is no such picture. Its test may have been deleted.");
    return picture;
  }

  return {
    list: () => sql.all("SELECT id, media_type, bytes FROM pictures ORDER BY id").map(pictureFrom),
    find,
    get,
    read: async (id) => readFile(get(id).file).catch((error: unknown) => Promise.reject(inPlainWords(error))),
    mustBeHere(id) {
      if (!existsSync(get(id).file)) throw missingPicture();
    },
    async write(bytes) {
      const id = Buffer.from(await webcrypto.subtle.digest("SHA-256", bytes)).toString("hex");
      const picture = { id, mediaType: mediaTypeOf(bytes), sizeBytes: bytes.byteLength };
      waiting.set(id, (waiting.get(id) ?? 0) + 1);
      try {
        const file = fileOf(id, picture.mediaType);
        if (existsSync(file) && statSync(file).size === bytes.byteLength) utimesSync(file, now(), now());
        else await writeFileSafely(file, bytes);
        return picture;
      } catch (error) {
        stopWaiting(id);
        throw error;
      }
    },
    keep({ id, mediaType, sizeBytes }) {
      sql.run(
        "INSERT OR IGNORE INTO pictures (id, media_type, bytes, created_at) VALUES (?, ?, ?, ?)",
        id,
        mediaType,
        sizeBytes,
        now().toISOString(),
      );
      return id;
    },
    letGo({ id, mediaType }) {
      stopWaiting(id);
      if (!waiting.has(id) && find(id) === undefined) rmSync(fileOf(id, mediaType), { force: true });
    },
    removeIfUnused(id) {
      const picture = find(id);
      if (picture === undefined) return;
      try {
        sql.run("DELETE FROM pictures WHERE id = ?", id);
      } catch (error) {
        if (isForeignKeyError(error)) return;
        throw error;
      }
      // The row is gone; a file that cannot be removed now is set aside at a later start.
      if (!waiting.has(id)) removeIfPossible(picture.file);
    },
    unusedBytes: () =>
      unreferencedPictures(sql, new Date(now().getTime() + youngMs)).reduce(
        (sum, row) => sum + Number(row["bytes"]),
        0,
      ),
    removeUnused({ minimumAgeMs = youngMs, halfWrittenAgeMs = minimumAgeMs } = {}) {
      let removed = 0;
      for (const picture of unreferencedPictures(sql, new Date(now().getTime() - minimumAgeMs)).map(pictureFrom)) {
        sql.run("DELETE FROM pictures WHERE id = ?", picture.id);
        if (waiting.has(picture.id) || !existsSync(picture.file)) continue;
        rmSync(picture.file);
        removed += 1;
      }
      for (const file of oldFiles(halfWrittenAgeMs).filter((name) => name.endsWith(unfinishedEnding))) {
        rmSync(file, { force: true });
        removed += 1;
      }
      return removed;
    },
    setUnknownAside({ minimumAgeMs = youngMs } = {}) {
      const known = new Set(sql.all("SELECT id FROM pictures").map((row) => String(row["id"])));
      const unknown = oldFiles(minimumAgeMs).filter(
        (file) => !known.has(basename(file).split(".")[0] ?? "") && !file.endsWith(unfinishedEnding),
      );
      const lost = join(dataDir, lostFolderName);
      if (unknown.length > 0) mkdirSync(lost, { recursive: true });
      for (const file of unknown) renameSync(file, join(lost, basename(file)));
      return unknown.length;
    },
  };
}

/** A file that someone has taken out of the folder is no mistake of ours, and not the end of its test. */
function inPlainWords(error: unknown): unknown {
  if (!(error instanceof Error) || !("code" in error) || error.code !== "ENOENT") return error;
  return missingPicture(error);
}

function missingPicture(cause?: unknown): InputError {
  return new InputError(
    "picture-missing",
    "The file of this picture is missing from the data folder. What was measured is kept; to measure again, put " +
      "the file back or restore a backup.",
    { cause },
  );
}

/** Rows older than `before` to which no other table refers, whichever tables there are. */
function unreferencedPictures(sql: Sql, before: Date): SqlRow[] {
  const references: string[] = [];
  for (const table of sql.all("SELECT name FROM sqlite_schema WHERE type = 'table'")) {
    const name = String(table["name"]);
    for (const key of sql.all(`PRAGMA foreign_key_list("${name}")`)) {
      if (key["table"] === "pictures")
        references.push(
          `id NOT IN (SELECT "${String(key["from"])}" FROM "${name}" WHERE "${String(key["from"])}" IS NOT NULL)`,
        );
    }
  }
  return sql.all(
    `SELECT id, media_type, bytes FROM pictures WHERE created_at < ? AND ${references.join(" AND ")}`,
    before.toISOString(),
  );
}

function removeIfPossible(file: string): void {
  try {
    rmSync(file, { force: true });
  } catch (error) {
    console.error(`The file ${file} could not be removed:`, error);
  }
}

/**
 * Kind of picture by its first bytes (JPEG SOI, PNG and TIFF signatures, RIFF/WEBP: the formats' published signatures).
 */
function mediaTypeOf(bytes: Uint8Array): PictureMediaType {
  const starts = (...signature: readonly number[]): boolean =>
    signature.every((value, index) => bytes[index] === value);
  const text = (from: number, to: number): string => String.fromCharCode(...bytes.subarray(from, to));
  if (starts(0xff, 0xd8, 0xff)) return "image/jpeg";
  if (starts(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return "image/png";
  if (starts(0x49, 0x49, 0x2a, 0x00) || starts(0x4d, 0x4d, 0x00, 0x2a) || starts(0x49, 0x49, 0x2b, 0x00))
    return "image/tiff";
  if (text(0, 4) === "RIFF" && text(8, 12) === "WEBP") return "image/webp";
  if (text(4, 8) === "ftyp") return "image/heic";
  return "application/octet-stream";
}
