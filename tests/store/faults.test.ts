// The data folder under faults: what is told, what is kept, what is refused.
import { chmodSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import LibsqlDatabase from "libsql";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";
import { tarEnd, tarFiles, tarHeader, tarPadding } from "#src/store/safekeeping/tar.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { sampleReading, sampleTestRecord, savePicture, saveSampleMaterials } from "../support/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

async function whole(pieces: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const piece of pieces) parts.push(piece);
  return Buffer.concat(parts);
}

async function* oneByOne(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.byteLength; at += 4096) yield bytes.subarray(at, at + 4096);
}

async function filled(count: number): Promise<{ store: Store; ids: string[] }> {
  const store = openStore(temporaryFolder());
  const ids: string[] = [];
  for (let n = 0; n < count; n++) {
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store, `picture ${n} `.repeat(900)));
    ids.push(store.transaction(() => store.tests.save(record)).id);
  }
  return { store, ids };
}

function appOf(store: Store) {
  return createApp({ settings: { ...readSettings({}), dataDir: store.dataDir }, store, imaging: fakeImaging() });
}

/** An archive whose database was changed by `change`, its pictures as they were. */
async function withChangedDatabase(
  archive: Buffer,
  change: (database: LibsqlDatabase.Database) => void,
): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const { name, bytes } of tarFiles(oneByOne(archive))) {
    let content = await whole(bytes);
    if (name === databaseName) {
      const file = join(temporaryFolder(), "changed.db");
      writeFileSync(file, content);
      const database = new LibsqlDatabase(file);
      database.exec("PRAGMA foreign_keys = OFF");
      change(database);
      database.close();
      content = readFileSync(file);
    }
    parts.push(tarHeader({ name, sizeBytes: content.byteLength, modified: new Date(0) }), content);
    parts.push(tarPadding(content.byteLength));
  }
  return Buffer.concat([...parts, tarEnd]);
}

describe("a damaged or missing picture", () => {
  it("is named by the backup, and the rest of it is restored", async () => {
    const { store } = await filled(4);
    const [damaged, missing] = store.pictures.list();
    const bytes = readFileSync(damaged!.file);
    bytes[10]! ^= 1;
    writeFileSync(damaged!.file, bytes);
    rmSync(missing!.file);
    const archive = await whole(store.backup("1.0.0"));
    const target = openStore(temporaryFolder());
    const restored = await target.restore(oneByOne(archive));
    expect(restored.damaged).toEqual([damaged!.id]);
    expect(restored.missing).toEqual([missing!.id]);
    expect(target.tests.count()).toBe(4);
    expect(readdirSync(join(target.dataDir, "lost"))).toHaveLength(1);
    // And once more from there, where both are missing.
    const again = openStore(temporaryFolder());
    expect((await again.restore(oneByOne(await whole(target.backup("1.0.0"))))).missing).toHaveLength(2);
    for (const each of [store, target, again]) each.close();
  });

  it("that the backup does not name makes a restore refuse, unless the rest is asked for", async () => {
    const { store } = await filled(2);
    const archive = await whole(store.backup("1.0.0"));
    archive[archive.byteLength - 3000]! ^= 1;
    const target = openStore(temporaryFolder());
    await expect(target.restore(oneByOne(archive))).rejects.toMatchObject({ code: "backup-unreadable" });
    expect((await target.restore(oneByOne(archive), { acceptDamaged: true })).damaged).toHaveLength(1);
    expect(target.tests.count()).toBe(2);
    store.close();
    target.close();
  });

  it("is answered 410 in plain words wherever its file is asked for", async () => {
    const { store, ids } = await filled(1);
    const [picture] = store.pictures.list();
    rmSync(picture!.file);
    const app = appOf(store);
    const corners = [
      [1, 1],
      [90, 1],
      [90, 20],
      [1, 20],
    ];
    for (const answer of [
      await request(app).get(`/pictures/${picture!.id}?side=320`),
      await request(app).get(`/tests/${ids[0]}/report.pdf`),
      await request(app).get("/api/calibrations"),
      await request(app).patch(`/api/tests/${ids[0]}`).send({ corners }),
    ]) {
      expect(answer.status).toBe(410);
      expect(answer.text).toContain("missing from the data folder");
    }
    expect((await request(app).patch(`/api/tests/${ids[0]}`).send({ name: "still here" })).status).toBe(200);
    store.close();
  });
});

describe("a backup under way", () => {
  it("when tests are deleted meanwhile, is that of its beginning", async () => {
    const { store, ids } = await filled(6);
    const app = appOf(store);
    const parts: Uint8Array[] = [];
    for await (const piece of store.backup("1.0.0")) {
      parts.push(piece);
      const id = ids.pop();
      if (id !== undefined) await request(app).delete(`/api/tests/${id}`).expect(204);
    }
    const target = openStore(temporaryFolder());
    const restored = await target.restore(oneByOne(Buffer.concat(parts)));
    expect(restored).toMatchObject({ pictures: 6, missing: [], damaged: [] });
    expect(target.tests.count()).toBe(6);
    expect(store.tests.count()).toBe(0);
    store.close();
    target.close();
  });
});

describe("a restore under way", () => {
  it("when tests of the same pictures are deleted meanwhile, keeps every picture of the restored tests", async () => {
    const { store, ids } = await filled(8);
    const archive = await whole(store.backup("1.0.0"));
    const app = appOf(store);
    const restoring = store.restore(oneByOne(archive));
    for (const id of ids) {
      await new Promise((resolve) => setImmediate(resolve));
      await request(app).delete(`/api/tests/${id}`);
    }
    await restoring.catch(() => undefined);
    for (const picture of store.pictures.list()) expect(statSync(picture.file).size).toBe(picture.sizeBytes);
    store.close();
  });

  it("keeps what it replaced, with its pictures", async () => {
    const { store } = await filled(3);
    const { store: other } = await filled(1);
    const restored = await store.restore(oneByOne(await whole(other.backup("1.0.0"))));
    const kept = join(store.dataDir, "backups", restored.replaced);
    expect(readdirSync(join(store.dataDir, "backups", "pictures"))).toHaveLength(3);
    const database = new LibsqlDatabase(join(kept, databaseName));
    expect(database.prepare("SELECT count(*) AS n FROM tests").all()).toMatchObject([{ n: 3 }]);
    database.close();
    store.close();
    other.close();
  });
});

describe("an archive whose database was tampered with", () => {
  const changes: readonly (readonly [string, string])[] = [
    ["a record that is no JSON", "UPDATE lamps SET record = '{'"],
    ["a test without a request", "UPDATE test_records SET request = '{}'"],
    ["a test without steps", "UPDATE test_records SET reading = '{}'"],
    ["a curve that is none", "UPDATE test_records SET curve = '{}'"],
    ["a picture that is a page", "UPDATE pictures SET media_type = 'text/html'"],
    ["a test without its record", "DELETE FROM test_records"],
    ["a table missing", "DROP TABLE stocks"],
    ["a further table", "CREATE TABLE other (id TEXT)"],
    ["a column missing", "ALTER TABLE lamps DROP COLUMN updated_at"],
    ["a trigger", "CREATE TRIGGER t AFTER DELETE ON lamps BEGIN DELETE FROM films; END"],
    [
      "an endless view in place of a table",
      "DROP TABLE stocks; CREATE VIEW stocks AS WITH RECURSIVE n(id) AS (SELECT 1 UNION ALL SELECT id + 1 FROM n) " +
        "SELECT id, '' AS created_at, '' AS updated_at, '' AS name, 0 AS archived, '{}' AS record FROM n",
    ],
    ["a reference that leads nowhere", "UPDATE tests SET lamp_id = 'nobody'"],
  ];
  it.each(changes)("to hold %s is refused at once and changes nothing", { timeout: 20_000 }, async (_case, script) => {
    const { store } = await filled(2);
    const archive = await withChangedDatabase(await whole(store.backup("1.0.0")), (database) => database.exec(script));
    const { store: target } = await filled(1);
    await expect(target.restore(oneByOne(archive))).rejects.toMatchObject({ code: "backup-unreadable" });
    expect(target.tests.count()).toBe(1);
    expect(readdirSync(target.dataDir).filter((name) => name.startsWith("passing-"))).toEqual([]);
    store.close();
    target.close();
  });

  it("to hold a picture twice is refused", async () => {
    const { store } = await filled(1);
    const archive = await whole(store.backup("1.0.0"));
    const at = archive.indexOf("pictures/");
    const twice = Buffer.concat([archive.subarray(0, archive.byteLength - 1024), archive.subarray(at)]);
    await expect(store.restore(oneByOne(twice))).rejects.toMatchObject({ code: "backup-unreadable" });
    store.close();
  });
});

describe("pictures that were sent and never used", () => {
  it("are counted, so that nobody can fill the disk with them; used ones are not", async () => {
    const { store } = await filled(2);
    expect(store.pictures.unusedBytes()).toBe(0);
    await savePicture(store, "x".repeat(5000));
    expect(store.pictures.unusedBytes()).toBe(5000);
    store.close();
  });
});

describe("a change while another is being measured", () => {
  it("is not lost: both are there in the end", async () => {
    const { store, ids } = await filled(1);
    const imaging = fakeImaging({
      "measure-reading": () => new Promise((resolve) => setTimeout(() => resolve(sampleReading()), 100)),
    });
    const corners = [
      [1, 1],
      [90, 1],
      [90, 20],
      [1, 20],
    ];
    const moved = rereadTest({ store, imaging }, ids[0]!, { corners });
    await new Promise((resolve) => setTimeout(resolve, 20));
    await rereadTest({ store, imaging }, ids[0]!, { name: "named meanwhile" });
    await moved;
    expect(store.tests.get(ids[0]!).request).toMatchObject({ name: "named meanwhile", corners });
    store.close();
  });
});

describe("the data folder", () => {
  it.skipIf(process.platform === "win32")(
    "when it is moved away under a running server, takes no more, and goes on when it is back",
    async () => {
      const { store } = await filled(1);
      const app = appOf(store);
      renameSync(store.dataDir, `${store.dataDir}-away`);
      mkdirSync(store.dataDir);
      const answer = await request(app).post("/api/lamps").send({ name: "x" });
      expect(answer.status).toBe(507);
      expect(answer.body).toMatchObject({ code: "data-folder-gone" });
      rmSync(store.dataDir, { recursive: true });
      renameSync(`${store.dataDir}-away`, store.dataDir);
      await request(app).post("/api/lamps").send({ name: "x" }).expect(201);
      store.close();
    },
  );

  it("when one server has it, refuses a second until the first has ended", () => {
    const folder = temporaryFolder();
    const first = openStore(folder, { isAlone: true });
    expect(() => openStore(folder, { isAlone: true })).toThrow(/Another Wedgewright works in the data folder/);
    first.close();
    openStore(folder, { isAlone: true }).close();
  });

  const strange: readonly (readonly [string, (folder: string) => void, RegExp])[] = [
    ["a folder of the database's name", (folder) => mkdirSync(join(folder, databaseName)), /is a folder/],
    [
      "another program's database",
      (folder) => foreign(folder, "CREATE TABLE other (id TEXT)"),
      /belongs to another program/,
    ],
    [
      "another program's table of tests",
      (folder) => foreign(folder, "CREATE TABLE tests (a TEXT)"),
      /belongs to another program/,
    ],
    ["a database with torn pages", torn, /damaged: restore a backup/],
  ];
  it.each(strange)("that holds %s is refused in one plain line and not changed", (_case, make, words) => {
    const folder = temporaryFolder();
    make(folder);
    const before = readdirSync(folder).filter((name) => !/-(wal|shm)$/.test(name));
    let thrown: unknown;
    try {
      openStore(folder);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(StoreError);
    expect((thrown as StoreError).message).toMatch(words);
    expect((thrown as StoreError).message).not.toContain("\n");
    expect(readdirSync(folder).filter((name) => !/-(wal|shm)$/.test(name))).toEqual(before);
  });

  it("whose previews cannot be kept still shows them", async () => {
    const { store } = await filled(1);
    writeFileSync(join(store.dataDir, "previews"), "in the way");
    const imaging = fakeImaging({ preview: () => ({ jpeg: Uint8Array.of(0xff, 0xd8), fullWidth: 1, fullHeight: 1 }) });
    const app = createApp({ settings: { ...readSettings({}), dataDir: store.dataDir }, store, imaging });
    expect((await request(app).get(`/pictures/${store.pictures.list()[0]!.id}?side=320`)).status).toBe(200);
    store.close();
  });

  it.skipIf(process.getuid?.() === 0)("whose picture cannot be removed deletes the test all the same", async () => {
    const { store, ids } = await filled(1);
    const folder = join(store.pictures.list()[0]!.file, "..");
    chmodSync(folder, 0o500);
    await request(appOf(store)).delete(`/api/tests/${ids[0]}`).expect(204);
    chmodSync(folder, 0o700);
    store.close();
  });
});

function foreign(folder: string, script: string): void {
  const database = new LibsqlDatabase(join(folder, databaseName));
  database.exec(script);
  database.close();
}

function torn(folder: string): void {
  const store = openStore(folder);
  for (let n = 0; n < 200; n++)
    store.lamps.create({ name: `Box ${n}`, notes: "x".repeat(900), kind: "tubes", archived: false });
  store.close();
  const file = join(folder, databaseName);
  const bytes = readFileSync(file);
  for (let at = 4096 * 12; at < bytes.byteLength; at += 4096) bytes.fill(0x5a, at, at + 2000);
  writeFileSync(file, bytes);
  for (const ending of ["-wal", "-shm"]) rmSync(file + ending, { force: true });
}
