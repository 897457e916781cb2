// What the studio says of itself, such as its name: one value for each fact.
import type { StudioFactName } from "#shared/schema/workshop/studio-name.ts";
import type { Sql } from "#src/store/sql.ts";

export interface StudioFactTable {
  find(name: StudioFactName): string | undefined;
  set(name: StudioFactName, value: string): void;
}

export function studioFactTable(sql: Sql): StudioFactTable {
  return {
    find(name) {
      const row = sql.get("SELECT value FROM studio_facts WHERE name = ?", name);
      return row === undefined ? undefined : String(row["value"]);
    },
    set(name, value) {
      sql.run(
        "INSERT INTO studio_facts (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        name,
        value,
      );
    },
  };
}
