import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openSql } from "#src/store/sql.ts";
import { migrations } from "#src/store/migrations/all.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";
import { saveSampleMaterials, saveSampleTest } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

describe("opening a data folder", () => {
  it("when a newer version wrote it, is refused and changes nothing", async () => {
    const folder = temporaryFolder();
    openStore(folder).close();
    openStore(folder, {
      migrations: [
        ...migrations,
        { number: 9999, name: "from-the-future", script: "CREATE TABLE later (id TEXT) STRICT" },
      ],
    }).close();
    expect(() => openStore(folder)).toThrow(/newer version/);
    expect(() => openStore(folder)).toThrow(StoreError);
  });

  it.each([
    [
      "a file stands in its place",
      (folder: string) => {
        writeFileSync(join(folder, "data"), "x");
        return join(folder, "data");
      },
    ],
    [
      "the database is no database",
      (folder: string) => {
        writeFileSync(join(folder, databaseName), "not a database at all, only some text ".repeat(50));
        return folder;
      },
    ],
    [
      "it lies where no folder can be made",
      (folder: string) => {
        writeFileSync(join(folder, "data"), "x");
        return join(folder, "data", "below");
      },
    ],
  ])("when %s, is refused with one plain line", (_case, prepare) => {
    const dataDir = prepare(temporaryFolder());
    let message = "";
    try {
      openStore(dataDir).close();
    } catch (error) {
      expect(error).toBeInstanceOf(StoreError);
      message = (error as Error).message;
    }
    expect(message).toContain(dataDir);
    expect(message).not.toContain("\n");
  });

  it("when a migration fails half-way, leaves the old schema whole", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const materials = saveSampleMaterials(store);
    store.close();
    const failing = {
      number: 9998,
      name: "fails",
      script: "CREATE TABLE halfway (id TEXT) STRICT; INSERT INTO no_such_table VALUES (1);",
    };
    expect(() => openStore(folder, { migrations: [...migrations, failing] })).toThrow();
    const again = openStore(folder);
    expect(again.lamps.get(materials.lampId).name).toBe("Box");
    again.close();
    const sql = openSql(join(folder, databaseName));
    expect(sql.get("SELECT name FROM sqlite_schema WHERE name = 'halfway'")).toBeUndefined();
    sql.close();
  });

  it.each([...migrations.keys()])(
    "when the schema is as old as step %i, migrates to the newest and keeps its rows",
    async (index) => {
      const folder = temporaryFolder();
      const old = openSql(join(folder, databaseName));
      old.script("CREATE TABLE schema_steps (number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT");
      for (const step of migrations.slice(0, index + 1)) {
        old.script(step.script);
        old.run("INSERT INTO schema_steps (number, name) VALUES (?, ?)", step.number, step.name);
      }
      old.run(
        "INSERT INTO lamps (id, created_at, updated_at, name, archived, record) VALUES ('old', " +
          "'2026-01-01T00:00:00.000Z', '2026-01-01T00:00:00.000Z', 'Old box', 0, '{\"name\":\"Old box\"}')",
      );
      old.close();
      const store = openStore(folder);
      expect(store.lamps.get("old")).toMatchObject({ name: "Old box", kind: "other", archived: false });
      await saveSampleTest(store);
      store.close();
    },
  );

  it("when tests are older than the column of their tablets, fills it from what was asked", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    await saveSampleTest(store);
    const [saved] = store.tests.listTimed("red");
    store.close();
    const old = openSql(join(folder, databaseName));
    old.script("ALTER TABLE tests DROP COLUMN tablet; DELETE FROM schema_steps WHERE number >= 92;");
    old.close();
    const again = openStore(folder);
    expect(saved?.tablet).toContain("transmission");
    expect(again.tests.listTimed("red")[0]?.tablet).toBe(saved?.tablet);
    again.close();
  });
});
