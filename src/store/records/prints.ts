// The print log: run sheets in work and finished prints.
import { InputError } from "#shared/errors.ts";
import { printStateOf, type PrintState } from "#shared/prints/procedure.ts";
import { printInputSchema, type PrintInput, type SavedPrint } from "#shared/schema/prints.ts";
import { laterThan, newId } from "#src/store/ids.ts";
import { withoutWhatNoLongerFits } from "./old-record.ts";
import { gatheredConditions, type Sql, type SqlRow } from "#src/store/sql.ts";

interface PrintFilter {
  readonly state?: PrintState | undefined;
  readonly lampId?: string | undefined;
  readonly supportId?: string | undefined;
  readonly coatingId?: string | undefined;
  /** Who printed it. */
  readonly printedBy?: string | undefined;
  /** "judged": only prints whose outcome is known. */
  readonly judged?: boolean | undefined;
  /** At most this many, 200 unless said otherwise. */
  readonly limit?: number | undefined;
  /** Only prints made before this place; see PrintPage. */
  readonly after?: string | undefined;
}

interface PrintPage {
  readonly prints: SavedPrint[];
  /** Where the next page goes on, or null at the end. */
  readonly next: string | null;
}

export interface PrintTable {
  /** Newest first. */
  list(filter?: PrintFilter): PrintPage;
  find(id: string): SavedPrint | undefined;
  /** @throws InputError "not-found". */
  get(id: string): SavedPrint;
  save(input: PrintInput, options?: { id?: string; createdAt?: string; pictureId?: string | null }): SavedPrint;
  /** Replaces the record; the picture too when one is given. @throws InputError "not-found". */
  replace(id: string, input: PrintInput, options?: { pictureId?: string | null }): SavedPrint;
  /** @throws InputError "not-found". */
  remove(id: string): void;
}

const columns = "id, created_at, updated_at, picture_id, record";
const usualLimit = 200;

export function printTable(sql: Sql, now: () => Date): PrintTable {
  function find(id: string): SavedPrint | undefined {
    const row = sql.get(`SELECT ${columns} FROM prints WHERE id = ?`, id);
    return row === undefined ? undefined : printFrom(row);
  }

  function get(id: string): SavedPrint {
    const print = find(id);
    if (print === undefined)
      throw new InputError("not-found", "There is no such print. It may have been deleted; look at the print log.");
    return print;
  }

  return {
    find,
    get,
    list(filter = {}) {
      const { where, values, add } = gatheredConditions();
      add("state = ?", filter.state);
      add("lamp_id = ?", filter.lampId);
      add("support_id = ?", filter.supportId);
      add("coating_id = ?", filter.coatingId);
      add("json_extract(record, '$.printedBy') = ?", filter.printedBy);
      if (filter.judged === true) where.push("outcome IS NOT NULL");
      if (filter.after !== undefined) {
        const [createdAt = "", id = ""] = filter.after.split("~");
        where.push("(created_at, id) < (?, ?)");
        values.push(createdAt, id);
      }
      const limit = filter.limit ?? usualLimit;
      const rows = sql.all(
        `SELECT ${columns} FROM prints ${where.length === 0 ? "" : `WHERE ${where.join(" AND ")}`} ORDER BY ` +
          "created_at DESC, id DESC LIMIT ?",
        ...values,
        limit + 1,
      );
      const prints = rows.slice(0, limit).map(printFrom);
      const last = prints.at(-1);
      return { prints, next: rows.length > limit && last !== undefined ? `${last.createdAt}~${last.id}` : null };
    },
    save(input, { id = newId(), createdAt = now().toISOString(), pictureId = null } = {}) {
      sql.run(
        "INSERT INTO prints (id, created_at, updated_at, state, outcome, lamp_id, support_id, coating_id, " +
          "film_id, picture_id, record) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        id,
        createdAt,
        now().toISOString(),
        printStateOf(input.steps),
        input.outcome ?? null,
        input.lampId,
        input.supportId,
        input.coatingId,
        input.filmId ?? null,
        pictureId,
        JSON.stringify(input),
      );
      return get(id);
    },
    replace(id, input, { pictureId = get(id).pictureId } = {}) {
      const { updatedAt } = get(id);
      sql.run(
        "UPDATE prints SET updated_at = ?, state = ?, outcome = ?, lamp_id = ?, support_id = ?, coating_id = ?, " +
          "film_id = ?, picture_id = ?, record = ? WHERE id = ?",
        laterThan(updatedAt, now()),
        printStateOf(input.steps),
        input.outcome ?? null,
        input.lampId,
        input.supportId,
        input.coatingId,
        input.filmId ?? null,
        pictureId,
        JSON.stringify(input),
        id,
      );
      return get(id);
    },
    remove(id) {
      get(id);
      sql.run("DELETE FROM prints WHERE id = ?", id);
    },
  };
}

function printFrom(row: SqlRow): SavedPrint {
  return {
    ...withoutWhatNoLongerFits(printInputSchema, JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
    updatedAt: String(row["updated_at"]),
    pictureId: row["picture_id"] === null ? null : String(row["picture_id"]),
  };
}
