// Frames outside in the sun, running and brought in.
import { InputError } from "#shared/errors.ts";
import { sunFrameInputSchema, type SunFrame, type SunFrameInput } from "#shared/schema/sun/frame.ts";
import { laterThan, newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface SunFrameTable {
  /** Those outside first, then newest first. */
  list(): SunFrame[];
  find(id: string): SunFrame | undefined;
  /** @throws InputError "not-found". */
  get(id: string): SunFrame;
  create(input: SunFrameInput): SunFrame;
  /** @throws InputError "not-found". */
  replace(id: string, input: SunFrameInput): SunFrame;
  /** @throws InputError "not-found". */
  remove(id: string): void;
}

const columns = "id, created_at, updated_at, record";

export function sunFrameTable(sql: Sql, now: () => Date): SunFrameTable {
  const frameFrom = (row: SqlRow): SunFrame => ({
    ...sunFrameInputSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    updatedAt: String(row["updated_at"]),
  });

  function find(id: string): SunFrame | undefined {
    const row = sql.get(`SELECT ${columns} FROM sun_frames WHERE id = ?`, id);
    return row === undefined ? undefined : frameFrom(row);
  }

  function get(id: string): SunFrame {
    const frame = find(id);
    if (frame === undefined)
      throw new InputError(
        "not-found",
        "There is no such frame. It may have been forgotten on another device; look at the list of frames.",
      );
    return frame;
  }

  return {
    find,
    get,
    list: () =>
      sql
        .all(
          `SELECT ${columns} FROM sun_frames
           ORDER BY json_extract(record, '$.endedAt') IS NOT NULL, created_at DESC, id DESC`,
        )
        .map(frameFrom),
    create(input) {
      const id = newId();
      const at = now().toISOString();
      sql.run(
        `INSERT INTO sun_frames (${columns}) VALUES (?, ?, ?, ?)`,
        id,
        at,
        at,
        JSON.stringify(sunFrameInputSchema.parse(input)),
      );
      return get(id);
    },
    replace(id, input) {
      const before = get(id);
      sql.run(
        "UPDATE sun_frames SET updated_at = ?, record = ? WHERE id = ?",
        laterThan(before.updatedAt, now()),
        JSON.stringify(sunFrameInputSchema.parse(input)),
        id,
      );
      return get(id);
    },
    remove(id) {
      get(id);
      sql.run("DELETE FROM sun_frames WHERE id = ?", id);
    },
  };
}
