// The data folder under faults: what is told, what is kept, what is refused.
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import LibsqlDatabase from "libsql";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { databaseName } from "#src/store/database-name.ts";
import { openStore } from "#src/store/store.ts";
import { tarEnd, tarFiles, tarHeader, tarPadding } from "#src/store/safekeeping/tar.ts";
import { appOf, filled } from "../support/studios/filled-store.ts";
import { savePicture } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

async function whole(pieces: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const piece of pieces) parts.push(piece);
  return Buffer.concat(parts);
}

async function* oneByOne(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.byteLength; at += 4096) yield bytes.subarray(at, at + 4096);
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
