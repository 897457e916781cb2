import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { binned } from "#src/store/safekeeping/binned-things.ts";
import { sweepBin } from "#src/studio/safekeeping/bin.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** Presses "Bring back" beside the first thing in the bin. */
async function bringFirstBack(app: ReturnType<typeof testApp>["app"]): Promise<request.Response> {
  const page = await request(app).get("/studio/bin").expect(200);
  const action = /action="(\/studio\/bin\/[^"]+)"/.exec(page.text)?.[1] ?? "";
  return request(app).post(action).type("form").send("");
}

describe("the bin", () => {
  it("gives a deleted test back with its picture, its id and everything that was measured", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const record = sampleTestRecord(materials, await savePicture(store, "in the bin"), { name: "Strip 7" });
    const before = store.transaction(() => store.tests.save(record));
    await request(app).delete(`/api/tests/${before.id}`).expect(204);
    expect(store.tests.count()).toBe(0);
    expect(store.pictures.list()).toEqual([]);
    expect((await request(app).get("/studio/bin")).text).toContain("Strip 7");
    const answer = await bringFirstBack(app);
    expect(answer.headers["location"]).toBe(`/tests/${before.id}`);
    const { updatedAt: _later, ...after } = store.tests.get(before.id);
    const { updatedAt: _earlier, ...expected } = before;
    expect(after).toEqual(expected);
    expect(Buffer.from(await store.pictures.read(before.pictureId)).toString()).toBe("in the bin");
    expect(binned(store.dataDir)).toEqual([]);
  });

  it("gives a print and a material back, the material first where the print needs it", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const print = await request(app)
      .post("/api/prints")
      .send({ ...materials, exposureSeconds: 60, name: "P" })
      .expect(201);
    const { id } = print.body as { id: string };
    await request(app).delete(`/api/prints/${id}`).expect(204);
    await request(app).delete(`/api/films/${materials.filmId}`).expect(204);
    const [film, lost] = binned(store.dataDir);
    expect([film?.kind, lost?.kind]).toEqual(["films", "print"]);
    const early = await request(app).post(`/studio/bin/${lost?.name}`).type("form").send("");
    expect(early.status).toBe(400);
    expect(early.text).toContain("There is no film");
    await request(app).post(`/studio/bin/${film?.name}`).type("form").send("").expect(303);
    await request(app).post(`/studio/bin/${lost?.name}`).type("form").send("").expect(303);
    expect((await request(app).get(`/api/prints/${id}`)).body).toMatchObject({ name: "P", exposureSeconds: 60 });
  });

  it("forgets after 30 days, not before", async () => {
    const { app, store } = testApp();
    const { id } = store.lamps.create({ name: "Box", notes: "", kind: "tubes", archived: false });
    await request(app).delete(`/api/lamps/${id}`).expect(204);
    const day = 24 * 3_600_000;
    expect(sweepBin({ store }, new Date(Date.now() + 29.9 * day))).toBe(0);
    expect(sweepBin({ store }, new Date(Date.now() + 30.1 * day))).toBe(1);
    expect(readdirSync(join(store.dataDir, "bin"))).toEqual([]);
  });

  it("is emptied by one press, to make room", async () => {
    const { app, store } = testApp();
    const { id } = store.lamps.create({ name: "Box", notes: "", kind: "tubes", archived: false });
    await request(app).delete(`/api/lamps/${id}`).expect(204);
    await request(app).post("/studio/bin").type("form").send("").expect(303);
    expect(binned(store.dataDir)).toEqual([]);
  });

  it("holds nothing of what could not be deleted", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const record = sampleTestRecord(materials, await savePicture(store, "x"));
    store.transaction(() => store.tests.save(record));
    await request(app).delete(`/api/lamps/${materials.lampId}`).expect(409);
    expect(existsSync(join(store.dataDir, "bin"))).toBe(false);
  });
});
