import request from "supertest";
import { describe, expect, it } from "vitest";
import {
  keepDailyState,
  lookIntoBackup,
  lookThroughStore,
  noteBackupTaken,
  restoreHeldBackup,
  restoreKeptState,
  safetyOf,
} from "#src/studio/safekeeping/keep-safe.ts";
import { keptNames, type KeptState } from "#src/store/safekeeping/kept-states.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { migrations } from "#src/store/migrations/all.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

const dayMs = 24 * 3_600_000;

async function addTests(store: Store, count: number, createdAt?: string, invented = false): Promise<string[]> {
  const materials = saveSampleMaterials(store);
  const ids: string[] = [];
  for (let n = 0; n < count; n++) {
    const pictureId = await savePicture(store, `${store.dataDir} ${Math.random()} ${n}`);
    const record = { ...sampleTestRecord(materials, pictureId), invented };
    ids.push(store.transaction(() => store.tests.save(record, createdAt === undefined ? {} : { createdAt })).id);
  }
  return ids;
}

describe("the reminder to save", () => {
  const now = new Date("2026-06-30T12:00:00Z");
  const at = (days: number): string => new Date(now.getTime() - days * dayMs).toISOString();

  it("comes with the tenth new test or the thirtieth day, not before, and not for invented tests", async () => {
    const store = openStore(temporaryFolder());
    await addTests(store, 20, at(90), true);
    expect(safetyOf({ store }, now)).toMatchObject({ isDue: false, testsSince: 0 });
    await addTests(store, 9, at(29));
    expect(safetyOf({ store }, now)).toMatchObject({ isDue: false, testsSince: 9, daysSince: 29 });
    await addTests(store, 1, at(1));
    expect(safetyOf({ store }, now).isDue).toBe(true);
    noteBackupTaken({ store }, now);
    expect(safetyOf({ store }, now)).toMatchObject({ isDue: false, testsSince: 0 });
    await addTests(store, 1, new Date(now.getTime() + dayMs).toISOString());
    expect(safetyOf({ store }, new Date(now.getTime() + 29.5 * dayMs)).isDue).toBe(false);
    expect(safetyOf({ store }, new Date(now.getTime() + 30.5 * dayMs)).isDue).toBe(true);
    store.close();
  });

  it("stands on the first page until everything was saved as one file", async () => {
    const { app, store } = testApp();
    await addTests(store, 10);
    expect((await request(app).get("/")).text).toContain("never saved elsewhere");
    await request(app).get("/api/backup").expect(200);
    expect((await request(app).get("/")).text).not.toContain("never saved elsewhere");
  });
});

describe("the page that keeps it safe", () => {
  it("shows what a file holds before it is restored, restores it, and undoes that", async () => {
    const [from, to] = [testApp(), testApp()];
    await addTests(from.store, 3);
    const here = await addTests(to.store, 2);
    const taken = await request(from.app).get("/api/backup").buffer(true).parse(bytesOf);
    const look = await request(to.app)
      .post("/studio/safe/look")
      .attach("backup", taken.body as Buffer, "backup.tar")
      .expect(200);
    expect(look.text).toMatch(/Tests<\/th><td>3</);
    expect(to.store.tests.count()).toBe(2);
    const action = /action="(\/studio\/safe\/restore\/[^"]+)"/.exec(look.text)?.[1] ?? "";
    const restored = await request(to.app).post(action).type("form").send("").expect(200);
    expect(to.store.tests.count()).toBe(3);
    const undo = /action="(\/studio\/safe\/states\/[^"]+)"/.exec(restored.text)?.[1] ?? "";
    await request(to.app).post(undo).type("form").send("").expect(200);
    expect(
      to.store.tests
        .list()
        .tests.map(({ id }) => id)
        .sort(),
    ).toEqual([...here].sort());
    for (const { id } of to.store.pictures.list())
      expect((await to.store.pictures.read(id)).byteLength).toBeGreaterThan(0);
    // What was held is gone once it was used.
    expect((await request(to.app).post(action).type("form").send("")).status).toBe(404);
  });

  it("when sent nonsense, says so on the page and changes nothing", async () => {
    const { app, store } = testApp();
    await addTests(store, 1);
    const answer = await request(app).post("/studio/safe/look").attach("backup", Buffer.from("nonsense"), "x.tar");
    expect(answer.status).toBe(400);
    expect(answer.text).toContain("Nothing was changed");
    expect(store.tests.count()).toBe(1);
  });

  it("over the API: looks into a backup, then restores it by its id", async () => {
    const { app, store } = testApp();
    await addTests(store, 1);
    const taken = await request(app).get("/api/backup").buffer(true).parse(bytesOf);
    const look = await request(app)
      .post("/api/restore?preview=true")
      .type("application/x-tar")
      .send(taken.body)
      .expect(200);
    expect(look.body).toMatchObject({ contents: { tests: 1 }, missing: [], damaged: [] });
    await request(app)
      .post(`/api/restore/${(look.body as { id: string }).id}`)
      .expect(200);
    expect(store.tests.count()).toBe(1);
  });
});

describe("the state of each day", () => {
  it("is kept once a day, can be gone back to after everything was deleted, and shares its pictures", async () => {
    const { app, store } = testApp();
    const now = new Date();
    expect(await keepDailyState({ store }, now)).toBeNull();
    const ids = await addTests(store, 3);
    const name = await keepDailyState({ store }, now);
    expect(name).toMatch(/-daily$/);
    expect(await keepDailyState({ store }, now)).toBeNull();
    for (const id of ids) await request(app).delete(`/api/tests/${id}`).expect(204);
    await request(app).post(`/studio/safe/states/${name}`).type("form").send("").expect(200);
    expect(store.tests.count()).toBe(3);
    for (const { id } of store.pictures.list()) expect((await store.pictures.read(id)).byteLength).toBeGreaterThan(0);
    expect((await request(app).post("/studio/safe/states/nothing").type("form").send("")).status).toBe(404);
  });

  it("stays for seven days, then one for each of four weeks", () => {
    const now = new Date("2026-06-30T12:00:00Z");
    const states: KeptState[] = Array.from({ length: 60 }, (_, days) => ({
      name: `day ${days}`,
      reason: "daily",
      at: new Date(now.getTime() - days * dayMs),
    }));
    const kept = keptNames(states, now);
    expect(kept.slice(0, 7)).toEqual([0, 1, 2, 3, 4, 5, 6].map((days) => `day ${days}`));
    expect(kept.slice(7)).toEqual(["day 7", "day 14", "day 21", "day 28"]);
  });

  it("is kept before a migration", () => {
    const folder = temporaryFolder();
    const older = openStore(folder, { migrations: migrations.slice(0, 1) });
    saveSampleMaterials(older);
    older.close();
    const store = openStore(folder);
    expect(store.keptStates().map(({ reason }) => reason)).toEqual(["before-migration"]);
    store.close();
  });
});

function bytesOf(response: request.Response, done: (error: Error | null, body: unknown) => void): void {
  const parts: Buffer[] = [];
  const stream = response as unknown as NodeJS.ReadableStream;
  stream.on("data", (part: Buffer) => parts.push(part));
  stream.on("end", () => done(null, Buffer.concat(parts)));
}

describe("the acts that keep it safe", () => {
  it("one look through everything serves all who ask while it is under way", async () => {
    const store = openStore(temporaryFolder());
    await addTests(store, 3);
    const [first, second] = [lookThroughStore({ store }), lookThroughStore({ store })];
    expect(second).toBe(first);
    await first;
    const later = lookThroughStore({ store });
    expect(later).not.toBe(first);
    await later;
    store.close();
  });

  it("a backup is looked into without a change, restored by its number, and its number is good once", async () => {
    const [from, to] = [openStore(temporaryFolder()), openStore(temporaryFolder())];
    await addTests(from, 3);
    await addTests(to, 1);
    const held = await lookIntoBackup({ store: to }, from.backup("0.0.0"));
    expect(to.tests.count()).toBe(1);
    const restored = await restoreHeldBackup({ store: to }, held.id);
    expect(restored).toMatchObject({ tests: 3, missing: [], damaged: [] });
    expect(to.tests.count()).toBe(3);
    await expect(restoreHeldBackup({ store: to }, held.id)).rejects.toMatchObject({ code: "not-found" });
    from.close();
    to.close();
  });

  it("a state that was kept is gone back to by its name, and no other name is", async () => {
    const store = openStore(temporaryFolder());
    await addTests(store, 2);
    const name = await keepDailyState({ store }, new Date());
    await addTests(store, 1);
    expect(store.tests.count()).toBe(3);
    expect(await restoreKeptState({ store }, name ?? "")).toMatchObject({ tests: 2 });
    expect(store.tests.count()).toBe(2);
    await expect(restoreKeptState({ store }, "no-such-state")).rejects.toMatchObject({ code: "not-found" });
    store.close();
  });
});
