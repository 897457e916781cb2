// The folder of data: one server at a time, and what cannot be written there.
import { chmodSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import LibsqlDatabase from "libsql";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { rereadTest } from "#src/studio/tests/reread-test.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";
import { appOf, filled } from "../support/studios/filled-store.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { sampleReading } from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

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
