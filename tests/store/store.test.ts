import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  renameSync,
  rmSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { openSql } from "#src/store/sql.ts";
import { migrations } from "#src/store/migrations/all.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";
import { savePicture, sampleTestRecord, saveSampleMaterials } from "../support/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const long = new Date("2026-01-01T00:00:00Z");

function picturesIn(folder: string): string[] {
  return readdirSync(join(folder, "pictures"), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => entry.name);
}

async function saveSampleTest(store: Store): Promise<SavedTest> {
  const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
  return store.transaction(() => store.tests.save(record));
}

describe("materials", () => {
  it("when saved and opened again, are as they were", async () => {
    const folder = temporaryFolder();
    const first = openStore(folder);
    const lamp = first.lamps.create({
      name: "Box, left",
      notes: "eight tubes",
      kind: "tubes",
      widthMm: 600,
      heightMm: 600,
      distanceMm: 200,
      archived: false,
    });
    first.close();
    const second = openStore(folder);
    expect(second.lamps.get(lamp.id)).toEqual(lamp);
    expect(second.lamps.list()).toEqual([lamp]);
    second.close();
  });

  it("when archived, leave the list but can be asked for", async () => {
    const store = openStore(temporaryFolder());
    const { id, createdAt, ...input } = store.supports.create({
      name: "Cotton",
      notes: "",
      kind: "fabric",
      archived: false,
    });
    store.supports.replace(id, { ...input, archived: true });
    expect(store.supports.list()).toEqual([]);
    expect(store.supports.list({ archived: true })).toMatchObject([{ id, createdAt, archived: true }]);
    store.close();
  });

  it("when a test uses one, refuse to be deleted; when the test is gone, obey", async () => {
    const store = openStore(temporaryFolder());
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    const test = store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId)));
    expect(() => store.lamps.remove(materials.lampId)).toThrow(expect.objectContaining({ code: "in-use" }));
    store.transaction(() => store.tests.remove(test.id));
    store.lamps.remove(materials.lampId);
    expect(store.lamps.find(materials.lampId)).toBeUndefined();
    expect(() => store.lamps.get(materials.lampId)).toThrow(InputError);
    store.close();
  });
});

describe("tests", () => {
  it("when saved, are read back whole", async () => {
    const store = openStore(temporaryFolder());
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store), {
      notes: "überall blau",
      name: "First",
    });
    const saved = store.transaction(() => store.tests.save(record));
    expect(store.tests.get(saved.id)).toEqual({
      ...record,
      id: saved.id,
      createdAt: saved.createdAt,
      updatedAt: saved.updatedAt,
    });
    store.close();
  });

  it("when one row of a test cannot be written, leave no part of it", async () => {
    const store = openStore(temporaryFolder());
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
    const broken = { ...record, furtherPictures: { photos: ["no such picture"], evenLight: null } };
    expect(() => store.transaction(() => store.tests.save(broken))).toThrow();
    expect(store.tests.count()).toBe(0);
    store.transaction(() => store.tests.save(record));
    expect(store.tests.count()).toBe(1);
    store.close();
  });

  it("when listed by pages, give every test once, newest first, by every filter", async () => {
    const store = openStore(temporaryFolder());
    const materials = saveSampleMaterials(store);
    const other = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    store.transaction(() => {
      for (let n = 0; n < 25; n += 1) {
        const madeAt = `2026-03-${String(1 + Math.floor(n / 2)).padStart(2, "0")}T10:00:00+01:00`;
        store.tests.save(
          sampleTestRecord(n % 5 === 0 ? other : materials, pictureId, {
            madeAt,
            name: `Number ${n}`,
            ...(n % 2 === 0 ? { filmId: null } : {}),
          }),
        );
      }
    });
    const seen: string[] = [];
    let after: string | undefined;
    do {
      const page = store.tests.list({ limit: 4, ...(after === undefined ? {} : { after }) });
      seen.push(...page.tests.map((test) => test.id));
      after = page.next ?? undefined;
    } while (after !== undefined);
    expect(new Set(seen).size).toBe(25);
    const times = store.tests.list().tests.map((test) => Date.parse(test.madeAt));
    expect(times).toEqual([...times].sort((a, b) => b - a));
    expect(store.tests.list({ lampId: other.lampId }).tests).toHaveLength(5);
    expect(store.tests.list({ filmId: "none" }).tests).toHaveLength(13);
    expect(store.tests.list({ from: "2026-03-12", to: "2026-03-13" }).tests).toHaveLength(2);
    expect(store.tests.list({ search: "NUMBER 2" }).tests).toHaveLength(6);
    expect(store.tests.list({ search: "paper number" }).tests).toHaveLength(25);
    expect(store.tests.list({ search: "cotton" }).tests).toHaveLength(0);
    expect(store.tests.list({ search: "2026-03-12" }).tests).toHaveLength(2);
    expect(store.tests.list({ verdict: "reversal" }).tests).toHaveLength(0);
    expect(store.tests.count({ supportId: materials.supportId })).toBe(20);
    expect(() => store.tests.list({ after: "nonsense" })).toThrow(InputError);
    store.close();
  });
});

describe("pictures", () => {
  it("when a written one never gets its row, goes again, unless another test waits for it", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const bytes = new TextEncoder().encode("twice");
    const [first, second] = [await store.pictures.write(bytes), await store.pictures.write(bytes)];
    store.pictures.letGo(first);
    expect(picturesIn(folder)).toHaveLength(1);
    store.pictures.letGo(second);
    expect(picturesIn(folder)).toHaveLength(0);
    store.close();
  });

  it("when the same bytes come twice, are kept once, under the hash of their content", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    // SHA-256 of "abc": FIPS 180-4, worked example.
    const id = await savePicture(store, "abc");
    expect(id).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    await savePicture(store, "abc");
    expect(picturesIn(folder)).toEqual([`${id}.bin`]);
    expect(Buffer.from(await store.pictures.read(id)).toString()).toBe("abc");
    store.close();
  });

  it("when two tests share one, keep it until the second is deleted", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    const [first, second] = [1, 2].map(() =>
      store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId))),
    );
    store.transaction(() => store.tests.remove(first!.id));
    store.pictures.removeIfUnused(first!.pictureId);
    expect(picturesIn(folder)).toHaveLength(1);
    store.transaction(() => store.tests.remove(second!.id));
    store.pictures.removeIfUnused(second!.pictureId);
    expect(picturesIn(folder)).toHaveLength(0);
    store.close();
  });

  it("when no row refers to an old file, or it was left half written, clear it away at the next start", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const kept = await saveSampleTest(store);
    const lost = store.pictures.get(await savePicture(store, "nobody refers to me"));
    const half = join(folder, "pictures", "ab", "abcdef.jpg.1234.part");
    mkdirSync(join(folder, "pictures", "ab"), { recursive: true });
    writeFileSync(half, "half");
    const young = store.pictures.get(await savePicture(store, "just now"));
    store.close();
    for (const file of [half, lost.file]) utimesSync(file, long, long);
    const again = openStore(folder, { now: () => new Date(Date.now() + 3_000_000) });
    expect(existsSync(half)).toBe(false);
    expect(existsSync(young.file)).toBe(true);
    again.close();
    openStore(folder, { now: () => new Date(Date.now() + 4_000_000) }).close();
    expect(picturesIn(folder)).toHaveLength(1);
    expect(picturesIn(folder)[0]).toContain(kept.pictureId);
  });
});

describe("closing", () => {
  it("leaves everything in the one database file, which can be copied alone", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    const copy = temporaryFolder();
    copyFileSync(join(folder, databaseName), join(copy, databaseName));
    const again = openStore(copy);
    expect(again.tests.get(test.id)).toEqual(test);
    again.close();
  });
});

describe("pictures whose database is gone", () => {
  const oldFile = (folder: string, id: string): string => join(folder, "pictures", id.slice(0, 2), `${id}.bin`);

  it.each([
    ["missing", (file: string) => rmSync(file)],
    ["empty", (file: string) => truncateSync(file)],
    [
      "without a table",
      (file: string) => {
        rmSync(file);
        openSql(file).close();
      },
    ],
  ])("when the database is %s, are left alone and the start is refused", async (_case, lose) => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    lose(join(folder, databaseName));
    expect(() => openStore(folder)).toThrow(/holds 1 pictures, but wedgewright.db is missing or empty/);
    expect(() => openStore(folder)).toThrow(StoreError);
    expect(picturesIn(folder)).toHaveLength(1);
  });

  it("when the database is put back after that, are all there", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    renameSync(join(folder, databaseName), join(folder, "elsewhere.db"));
    expect(() => openStore(folder)).toThrow(StoreError);
    renameSync(join(folder, "elsewhere.db"), join(folder, databaseName));
    const again = openStore(folder);
    expect(again.tests.get(test.id).pictureId).toBe(test.pictureId);
    expect(existsSync(again.pictures.get(test.pictureId).file)).toBe(true);
    again.close();
  });

  it("when an old copy of the database was put back, are set aside, never erased", async () => {
    const folder = temporaryFolder();
    openStore(folder).close();
    copyFileSync(join(folder, databaseName), join(folder, "copy.db"));
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    renameSync(join(folder, "copy.db"), join(folder, databaseName));
    openStore(folder).close();
    expect(readdirSync(join(folder, "lost"))).toEqual([`${test.pictureId}.bin`]);
  });
});

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
      const ordered = [...migrations].sort((a, b) => a.number - b.number).slice(0, index + 1);
      for (const step of ordered) {
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
});

describe("sql", () => {
  it("when a value is not storable, refuses it instead of passing it to the library", async () => {
    const sql = openSql(join(temporaryFolder(), "x.db"));
    for (const value of [true, undefined, NaN, {}, 10n])
      expect(() => sql.get("SELECT ?", value as never)).toThrow(TypeError);
    sql.close();
  });
});
