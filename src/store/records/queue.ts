// Who waits for a box, in order.
import { InputError } from "#shared/errors.ts";
import { queueEntryInputSchema, type QueueEntry, type QueueEntryInput } from "#shared/schema/workshop/queue.ts";
import { laterThan, newId } from "#src/store/ids.ts";
import { gatheredConditions, type Sql, type SqlRow } from "#src/store/sql.ts";

export interface QueueTable {
  /** Who waits, next first; who is done, last first. */
  list(filter: { readonly state: QueueEntry["state"]; readonly limit?: number }): QueueEntry[];
  find(id: string): QueueEntry | undefined;
  /** @throws InputError "not-found". */
  get(id: string): QueueEntry;
  /** Puts someone at the end. */
  create(input: QueueEntryInput): QueueEntry;
  /** @throws InputError "not-found". */
  replace(id: string, entry: QueueEntryInput & Pick<QueueEntry, "place" | "state">): QueueEntry;
  /** Nothing happens when it is not there. */
  remove(id: string): void;
}

const columns = "id, created_at, updated_at, place, state, record";
const usualLimit = 200;

export function queueTable(sql: Sql, now: () => Date): QueueTable {
  function find(id: string): QueueEntry | undefined {
    const row = sql.get(`SELECT ${columns} FROM queue WHERE id = ?`, id);
    return row === undefined ? undefined : entryFrom(row);
  }

  function get(id: string): QueueEntry {
    const entry = find(id);
    if (entry === undefined) throw new InputError("not-found", "Nobody waits under this name any more.");
    return entry;
  }

  return {
    find,
    get,
    list({ state, limit = usualLimit }) {
      const { where, values, add } = gatheredConditions();
      add("state = ?", state);
      const order = state === "done" ? "updated_at DESC, id" : "place, id";
      return sql
        .all(`SELECT ${columns} FROM queue WHERE ${where.join(" AND ")} ORDER BY ${order} LIMIT ?`, ...values, limit)
        .map(entryFrom);
    },
    create(input) {
      const id = newId();
      const last = sql.get("SELECT max(place) AS place FROM queue")?.["place"] ?? 0;
      const at = now().toISOString();
      sql.run(
        "INSERT INTO queue (id, created_at, updated_at, place, state, record) VALUES (?, ?, ?, ?, 'waiting', ?)",
        id,
        at,
        at,
        Number(last) + 1,
        JSON.stringify(input),
      );
      return get(id);
    },
    replace(id, { place, state, ...input }) {
      const { updatedAt } = get(id);
      sql.run(
        "UPDATE queue SET updated_at = ?, place = ?, state = ?, record = ? WHERE id = ?",
        laterThan(updatedAt, now()),
        place,
        state,
        JSON.stringify(queueEntryInputSchema.parse(input)),
        id,
      );
      return get(id);
    },
    remove(id) {
      sql.run("DELETE FROM queue WHERE id = ?", id);
    },
  };
}

function entryFrom(row: SqlRow): QueueEntry {
  return {
    ...queueEntryInputSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    updatedAt: String(row["updated_at"]),
    place: Number(row["place"]),
    state: row["state"] === "done" ? "done" : "waiting",
  };
}
