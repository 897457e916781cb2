// Looks through everything: the database's own checks, every record as the pages read it, every picture byte by byte.
import { createHash } from "node:crypto";
import { createReadStream, existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { setImmediate as breathe } from "node:timers/promises";
import { lostFolderName, type StoredPicture } from "#src/store/pictures.ts";
import { everyRecord, type RecordKind } from "#src/store/safekeeping/every-record.ts";
import type { Sql } from "#src/store/sql.ts";

export interface BadPicture {
  readonly id: string;
  readonly what: "missing" | "damaged";
  /** Tests and prints that show it. */
  readonly usedBy: readonly { readonly kind: "tests" | "prints"; readonly id: string }[];
}

export interface LookedThrough {
  readonly records: number;
  readonly pictures: number;
  readonly pictureBytes: number;
  /** Whether the database as a whole is sound. */
  readonly isSound: boolean;
  readonly unreadable: readonly { readonly kind: RecordKind; readonly id: string }[];
  readonly badPictures: readonly BadPicture[];
  /** Files that the database did not know and that were set aside. */
  readonly setAside: number;
  readonly seconds: number;
}

/** So many records are read before other requests have their turn. */
const recordsAtOnce = 20;

export async function lookThrough({
  sql,
  dataDir,
  listPictures,
}: {
  readonly sql: Sql;
  readonly dataDir: string;
  readonly listPictures: () => StoredPicture[];
}): Promise<LookedThrough> {
  const begun = performance.now();
  const health = sql.all("PRAGMA integrity_check(1)").map((row) => Object.values(row)[0]);
  const references = sql.all("PRAGMA foreign_key_check");
  await breathe();
  const unreadable: { kind: RecordKind; id: string }[] = [];
  let records = 0;
  // The list is taken at once, so that what is deleted meanwhile is not mistaken for broken.
  for (const { kind, id, read } of [...everyRecord(sql)]) {
    records++;
    if (!isReadable(read)) unreadable.push({ kind, id });
    if (records % recordsAtOnce === 0) await breathe();
  }
  const pictures = listPictures();
  const badPictures: BadPicture[] = [];
  for (const picture of pictures) {
    const what = await troubleOf(picture);
    const isStillKnown = sql.get("SELECT id FROM pictures WHERE id = ?", picture.id) !== undefined;
    if (what !== null && isStillKnown) badPictures.push({ id: picture.id, what, usedBy: usersOf(sql, picture.id) });
  }
  const lost = join(dataDir, lostFolderName);
  return {
    records,
    pictures: pictures.length,
    pictureBytes: pictures.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0),
    isSound: health[0] === "ok" && references.length === 0,
    unreadable,
    badPictures,
    setAside: existsSync(lost) ? readdirSync(lost).length : 0,
    seconds: (performance.now() - begun) / 1000,
  };
}

/** One that was deleted meanwhile is not found, which is no fault of it. */
function isReadable(read: () => void): boolean {
  try {
    read();
    return true;
  } catch (error) {
    return error instanceof Error && "code" in error && error.code === "not-found";
  }
}

async function troubleOf({ id, file }: StoredPicture): Promise<BadPicture["what"] | null> {
  const hash = createHash("sha256");
  try {
    for await (const chunk of createReadStream(file)) hash.update(chunk as Buffer);
  } catch {
    return existsSync(file) ? "damaged" : "missing";
  }
  return hash.digest("hex") === id ? null : "damaged";
}

function usersOf(sql: Sql, pictureId: string): BadPicture["usedBy"] {
  const of = (kind: "tests" | "prints", statement: string) =>
    sql.all(statement, pictureId).map(({ id }) => ({ kind, id: String(id) }));
  return [
    ...of("tests", "SELECT id FROM tests WHERE picture_id = ?"),
    ...of("tests", "SELECT test_id AS id FROM test_pictures WHERE picture_id = ?"),
    ...of("tests", "SELECT test_id AS id FROM fading_readings WHERE picture_id = ?"),
    ...of("prints", "SELECT id FROM prints WHERE picture_id = ?"),
  ];
}
