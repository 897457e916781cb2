// Maps of a bed's light, kept under an id so that a later step names the map instead of repeating its figures.
import { InputError } from "#shared/errors.ts";
import { evennessMapSchema } from "#shared/schema/answers/studio.ts";
import type { Evenness, SavedEvenness } from "#shared/schema/evenness.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface EvennessTable {
  find(id: string): SavedEvenness | undefined;
  /** @throws InputError "not-found". */
  get(id: string): SavedEvenness;
  save(map: Evenness): SavedEvenness;
  /** Forgets maps made before an instant that no lamp refers to; gives their number. */
  removeUnusedBefore(instant: string): number;
}

export function evennessTable(sql: Sql, now: () => Date): EvennessTable {
  const mapFrom = (row: SqlRow): SavedEvenness => ({
    ...evennessMapSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
  });

  function find(id: string): SavedEvenness | undefined {
    const row = sql.get("SELECT id, created_at, record FROM evenness_maps WHERE id = ?", id);
    return row === undefined ? undefined : mapFrom(row);
  }

  function get(id: string): SavedEvenness {
    const map = find(id);
    if (map === undefined) throw new InputError("not-found", "This map is no longer kept: draw it again.");
    return map;
  }

  return {
    find,
    get,
    save(map) {
      const id = newId();
      sql.run(
        "INSERT INTO evenness_maps (id, created_at, record) VALUES (?, ?, ?)",
        id,
        now().toISOString(),
        JSON.stringify(map),
      );
      return get(id);
    },
    removeUnusedBefore(instant) {
      return sql.run(
        `DELETE FROM evenness_maps WHERE created_at < ?
         AND id NOT IN (SELECT json_extract(record, '$.evenness.mapId') FROM lamps
                        WHERE json_extract(record, '$.evenness.mapId') IS NOT NULL)`,
        instant,
      );
    },
  };
}
