// The pages of a saved test, as a browser without script gets them.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { noCamera, unknownCamera } from "#shared/reading/camera/camera-term.ts";
import type { fakeImaging } from "../../support/fake-imaging.ts";
import {
  sampleReading,
  sampleTestRecord,
  saveSampleMaterials,
  savePicture,
} from "../../support/studios/sample-records.ts";
import { appWith, typed } from "../../support/studios/typed-test.ts";

describe("a saved test's pages", () => {
  let pictureId = "";

  async function prepared() {
    const made = appWith();
    pictureId = await savePicture(made.store);
    const materials = saveSampleMaterials(made.store);
    const test = made.store.transaction(() => made.store.tests.save(sampleTestRecord(materials, pictureId)));
    return { ...made, test, materials };
  }

  it("shows time and range first, before everything else", async () => {
    const { app, test } = await prepared();
    const { text } = await request(app).get(`/tests/${test.id}`).expect(200);
    const at = (part: string): number => text.indexOf(part);
    expect(at("4:00")).toBeGreaterThan(0);
    expect(at("4:00")).toBeLessThan(at("3:30"));
    expect(at("3:30")).toBeLessThan(at("Good test"));
    expect(at("Good test")).toBeLessThan(at("<table"));
  });

  it("shows what makes its range as one bar, the largest first, each with what makes it smaller", async () => {
    const { app, store, materials } = await prepared();
    const record = sampleTestRecord(materials, pictureId);
    const budget = [
      { source: "tablet-scale-and-base" as const, stops: 0.4 },
      { source: "steps" as const, stops: 0.3 },
    ];
    const { id } = store.transaction(() => store.tests.save({ ...record, exposure: { ...record.exposure, budget } }));
    const { text } = await request(app).get(`/tests/${id}`).expect(200);
    const widths = [...text.matchAll(/<rect x="([\d.]+)" y="0" width="([\d.]+)"/g)].map((match) => match.slice(1, 3));
    // 0.4 and 0.3 make 0.5: sixteen and nine of twenty-five.
    expect(widths.map(([x]) => Number(x))).toEqual([0, 64]);
    expect(text).toContain("64 % of the bar");
    expect(text).toContain("Calibrating the tablet in your own light");
  });

  it("when the test cannot be relied on, shows no time finer than its range in the list", async () => {
    const { app, store, materials } = await prepared();
    const record = sampleTestRecord(materials, pictureId);
    const doubtful = { seconds: 247, lowerSeconds: 120, upperSeconds: 500, verdict: "unreliable" as const };
    store.transaction(() => store.tests.save({ ...record, exposure: { ...record.exposure, ...doubtful } }));
    const { text } = await request(app).get("/tests").expect(200);
    expect(text).toContain("about 4:00");
    expect(text).not.toContain("4:07");
  });

  it("shows its picture small, and keeps the copy", async () => {
    const { app, imaging } = await prepared();
    await request(app)
      .get(`/pictures/${pictureId}?side=320`)
      .expect(200)
      .expect("Content-Type", /jpeg/)
      .expect("Cache-Control", /immutable/);
    await request(app).get(`/pictures/${pictureId}?side=320`).expect(200);
    expect((imaging as ReturnType<typeof fakeImaging>).asked.filter((name) => name === "preview")).toHaveLength(1);
    await request(app).get(`/pictures/${pictureId}?side=5000`).expect(400);
    await request(app)
      .get(`/pictures/${"0".repeat(64)}`)
      .expect(404);
  });

  it("takes new words and keeps corners", async () => {
    const { app, store, test, materials } = await prepared();
    await request(app)
      .post(`/tests/${test.id}/edit`)
      .type("form")
      .send({
        ...typed,
        newLampName: "",
        newSupportName: "",
        newCoatingName: "",
        lampId: materials.lampId,
        supportId: materials.supportId,
        coatingId: materials.coatingId,
        exposureMinutes: "9",
        name: "second look",
      })
      .expect(303);
    const { request: changed } = store.tests.get(test.id);
    expect(changed).toMatchObject({ name: "second look", exposureSeconds: 540, corners: test.request.corners });
    expect(changed.filmId ?? null).toBeNull();
  });

  it("when its file left open who took the picture, asks and reads it anew by one press", async () => {
    const supposed = { ...unknownCamera, isSupposed: true };
    const answer = (job: unknown) => ({
      ...sampleReading(),
      camera: (job as { request: { takenBy?: string } }).request.takenBy === "scanner" ? noCamera : supposed,
    });
    const { app, store } = appWith(answer);
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
    const { id } = store.transaction(() => store.tests.save({ ...record, reading: answer({ request: {} }) }));
    const { text } = await request(app).get(`/tests/${id}`).expect(200);
    expect(text).toContain("It was scanned");
    await request(app).post(`/tests/${id}/taken-by`).type("form").send({ takenBy: "scanner" }).expect(303);
    expect(store.tests.get(id)).toMatchObject({ request: { takenBy: "scanner" }, reading: { camera: noCamera } });
    const { text: after } = await request(app).get(`/tests/${id}`).expect(200);
    expect(after).toContain("Scanned, as you said");
    expect(after).toContain("It was photographed");
    await request(app).post(`/tests/${id}/taken-by`).type("form").send({ takenBy: "nobody" }).expect(400);
    expect(store.tests.get(id).request.takenBy).toBe("scanner");
  });

  it("when its file passes for a scan, offers to say that it was photographed", async () => {
    const { app, store, materials } = await prepared();
    const record = sampleTestRecord(materials, pictureId);
    const { id } = store.transaction(() =>
      store.tests.save({ ...record, reading: { ...record.reading, camera: noCamera } }),
    );
    const { text } = await request(app).get(`/tests/${id}`).expect(200);
    expect(text).toContain("Taken for a scan");
    expect(text).toContain("It was photographed");
  });

  it("when a camera's notes, patches or several exposures settle it, does not ask who took the picture", async () => {
    const { app, store, materials } = await prepared();
    const record = sampleTestRecord(materials, pictureId);
    for (const by of ["assumption", "patches", "pictures"] as const) {
      const reading = { ...record.reading, camera: { ...unknownCamera, by } };
      const { id } = store.transaction(() => store.tests.save({ ...record, reading }));
      const { text } = await request(app).get(`/tests/${id}`).expect(200);
      expect(text).not.toContain("taken-by");
    }
  });

  it("is found by the filters of the list", async () => {
    const { app, materials } = await prepared();
    expect((await request(app).get(`/tests?lampId=${materials.lampId}&search=&verdict=`).expect(200)).text).toContain(
      "test-card",
    );
    expect((await request(app).get("/tests?verdict=reversal").expect(200)).text).toContain("No test is like that.");
    await request(app).get("/tests?from=someday").set("Accept", "text/html").expect(400);
  });

  it("is deleted only by sending the question's form", async () => {
    const { app, store, test } = await prepared();
    await request(app).get(`/tests/${test.id}/delete`).expect(200);
    expect(store.tests.count()).toBe(1);
    await request(app).post(`/tests/${test.id}/delete`).expect(303);
    expect(store.tests.count()).toBe(0);
    await request(app).get(`/tests/${test.id}`).set("Accept", "text/html").expect(404);
  });
});
