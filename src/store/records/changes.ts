// Changes that somebody noted ("from here on new"), and tests left out of the times with a reason.
import type { StudioChange, StudioChangeInput } from "#shared/schema/changes.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql } from "#src/store/sql.ts";

export interface ChangeTable {
  /** Newest first. */
  list(): StudioChange[];
  create(input: StudioChangeInput): StudioChange;
  /** Nothing happens when it is not there. */
  remove(id: string): void;
  /** Reason by test. */
  leftOut(): ReadonlyMap<string, string>;
  /** @param reason null: it counts again */
  leaveOut(testId: string, reason: string | null): void;
}

export function changeTable(sql: Sql, now: () => Date): ChangeTable {
  return {
    list: () =>
      sql.all("SELECT id, kind, scope, scope_id, at FROM changes ORDER BY at DESC, id DESC").map((row) => ({
        id: String(row["id"]),
        // Written by `create` alone, from checked input.
        kind: String(row["kind"]) as StudioChange["kind"],
        scope: String(row["scope"]) as StudioChange["scope"],
        scopeId: String(row["scope_id"]),
        at: String(row["at"]),
      })),
    create({ kind, scope, scopeId, at }) {
      const id = newId();
      sql.run(
        "INSERT INTO changes (id, created_at, kind, scope, scope_id, at) VALUES (?, ?, ?, ?, ?, ?)",
        id,
        now().toISOString(),
        kind,
        scope,
        scopeId,
        at,
      );
      return { id, kind, scope, scopeId, at };
    },
    remove(id) {
      sql.run("DELETE FROM changes WHERE id = ?", id);
    },
    leftOut: () =>
      new Map(
        sql
          .all("SELECT test_id, reason FROM left_out_tests")
          .map((row) => [String(row["test_id"]), String(row["reason"])]),
      ),
    leaveOut(testId, reason) {
      sql.run("DELETE FROM left_out_tests WHERE test_id = ?", testId);
      if (reason !== null)
        sql.run(
          "INSERT INTO left_out_tests (test_id, reason, decided_at) VALUES (?, ?, ?)",
          testId,
          reason,
          now().toISOString(),
        );
    },
  };
}
