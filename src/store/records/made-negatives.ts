// Negatives that were made here, newest first.
import { InputError } from "#shared/errors.ts";
import {
  madeNegativeInputSchema,
  type MadeNegative,
  type MadeNegativeInput,
  type MadeNegativePatch,
} from "#shared/schema/negative.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface MadeNegativeTable {
  /** Newest first, at most so many; those with named settings alone where asked. */
  list(filter?: { readonly limit?: number; readonly isNamed?: boolean }): MadeNegative[];
  find(id: string): MadeNegative | undefined;
  /** @throws InputError "not-found". */
  get(id: string): MadeNegative;
  create(input: MadeNegativeInput): MadeNegative;
  /** @throws InputError "not-found". */
  change(id: string, patch: MadeNegativePatch): MadeNegative;
  /** @throws InputError "not-found". */
  remove(id: string): void;
}

const columns = "id, created_at, record";
const mostListed = 500;

export function madeNegativeTable(sql: Sql, now: () => Date): MadeNegativeTable {
  const from = (row: SqlRow): MadeNegative => ({
    ...madeNegativeInputSchema.parse(JSON.parse(String(row["record"]))),
    id: String(row["id"]),
    createdAt: String(row["created_at"]),
  });

  function find(id: string): MadeNegative | undefined {
    const row = sql.get(`SELECT ${columns} FROM made_negatives WHERE id = ?`, id);
    return row === undefined ? undefined : from(row);
  }

  function get(id: string): MadeNegative {
    const made = find(id);
    if (made === undefined)
      throw new InputError("not-found", "There is no such negative. It may have been taken off the list.");
    return made;
  }

  return {
    find,
    get,
    list: ({ limit = mostListed, isNamed = false } = {}) =>
      sql
        .all(
          `SELECT ${columns} FROM made_negatives ${isNamed ? "WHERE settings_name <> ''" : ""}
           ORDER BY created_at DESC, id DESC LIMIT ?`,
          limit,
        )
        .map(from),
    create(input) {
      const id = newId();
      sql.run(
        "INSERT INTO made_negatives (id, created_at, test_id, settings_name, record) VALUES (?, ?, ?, ?, ?)",
        id,
        now().toISOString(),
        input.request.testId,
        input.settingsName,
        JSON.stringify(input),
      );
      return get(id);
    },
    change(id, patch) {
      const { id: _id, createdAt: _createdAt, ...before } = get(id);
      const input = madeNegativeInputSchema.parse({ ...before, ...patch });
      sql.run(
        "UPDATE made_negatives SET settings_name = ?, record = ? WHERE id = ?",
        input.settingsName,
        JSON.stringify(input),
        id,
      );
      return get(id);
    },
    remove(id) {
      get(id);
      sql.run("DELETE FROM made_negatives WHERE id = ?", id);
    },
  };
}
