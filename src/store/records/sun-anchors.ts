// Anchors kept from the dose clock.
import { InputError } from "#shared/errors.ts";
import { sunAnchorInputSchema, type SunAnchor, type SunAnchorInput } from "#shared/schema/sun/exposure.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface SunAnchorTable {
  /** Newest first. */
  list(): SunAnchor[];
  find(id: string): SunAnchor | undefined;
  /** @throws InputError "not-found". */
  get(id: string): SunAnchor;
  create(input: SunAnchorInput): SunAnchor;
  /** @throws InputError "not-found". */
  remove(id: string): void;
}

export function sunAnchorTable(sql: Sql, now: () => Date): SunAnchorTable {
  const anchorFrom = (row: SqlRow): SunAnchor => ({
    ...sunAnchorInputSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
  });

  function find(id: string): SunAnchor | undefined {
    const row = sql.get("SELECT id, created_at, record FROM sun_anchors WHERE id = ?", id);
    return row === undefined ? undefined : anchorFrom(row);
  }

  function get(id: string): SunAnchor {
    const anchor = find(id);
    if (anchor === undefined)
      throw new InputError(
        "not-found",
        "There is no such anchor. It may have been deleted; look at the list on the sun page.",
      );
    return anchor;
  }

  return {
    find,
    get,
    list: () =>
      sql.all("SELECT id, created_at, record FROM sun_anchors ORDER BY created_at DESC, id DESC").map(anchorFrom),
    create(input) {
      const id = newId();
      sql.run(
        "INSERT INTO sun_anchors (id, created_at, name, support_id, coating_id, film_id, record) VALUES (?, ?, ?, " +
          "?, ?, ?, ?)",
        id,
        now().toISOString(),
        input.name,
        input.supportId ?? null,
        input.coatingId ?? null,
        input.filmId ?? null,
        JSON.stringify(input),
      );
      return get(id);
    },
    remove(id) {
      get(id);
      sql.run("DELETE FROM sun_anchors WHERE id = ?", id);
    },
  };
}
