import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

async function studioWithPrint() {
  const { app, store } = testApp();
  const { lampId, supportId, coatingId } = saveSampleMaterials(store);
  const made = await request(app)
    .post("/prints/new")
    .type("form")
    .send({
      name: "Apron",
      lampId,
      supportId,
      coatingId,
      minutes: "8",
      seconds: "30",
      advisedSeconds: "500",
      advisedLowerSeconds: "450",
      advisedUpperSeconds: "550",
    })
    .expect(303);
  const path = made.headers["location"] ?? "";
  return { app, store, path, id: path.split("/").at(-1) ?? "", ids: { lampId, supportId, coatingId } };
}

describe("the pages of prints", () => {
  it("when a print is begun, shows its run sheet with the planned exposure and what the calibration said", async () => {
    const { app, store, path, id } = await studioWithPrint();
    const { text } = await request(app).get(path).expect(200);
    expect(text).toContain("8:30");
    expect(text).toContain("8:20 (7:30 to 9:10)");
    expect(text).toContain("Peroxide bath");
    expect(store.prints.get(id).exposureSeconds).toBe(510);
  });

  it("when the exposure is over, the lamp's cooling counts on every run sheet under it, and on no other", async () => {
    const { app, store, ids } = await studioWithPrint();
    const form = { ...ids, minutes: "8", seconds: "0", coolDownMinutes: "6" };
    const { headers } = await request(app).post("/prints/new").type("form").send(form).expect(303);
    const path = headers["location"] ?? "";
    expect((await request(app).get(path)).text).not.toContain("Lamp cools");
    await request(app).post(`${path}/steps/0/start`).expect(303);
    expect((await request(app).get(path)).text).not.toContain("Lamp cools");
    await request(app).post(`${path}/steps/0/end`).type("form").send({ sure: "yes" }).expect(303);
    const next = await request(app).post("/prints/new").type("form").send(form).expect(303);
    const other = store.lamps.create({ ...store.lamps.get(ids.lampId), name: "The other box" });
    const elsewhere = await request(app)
      .post("/prints/new")
      .type("form")
      .send({ ...form, lampId: other.id })
      .expect(303);
    for (const page of [path, next.headers["location"] ?? "", "/prints"]) {
      const { text } = await request(app).get(page).expect(200);
      expect(text).toContain("Lamp cools");
      expect(text).toContain('data-seconds="360"');
    }
    expect((await request(app).get(elsewhere.headers["location"] ?? "")).text).not.toContain("Lamp cools");
  });

  it("when no time is given, asks again and keeps what was typed", async () => {
    const { app, ids } = await studioWithPrint();
    const { text } = await request(app)
      .post("/prints/new")
      .type("form")
      .send({ ...ids, name: "Second apron" })
      .expect(400);
    expect(text).toContain("Second apron");
    expect(text).toContain("Say how long it is exposed");
  });

  it("when the next step is started, ends the one that runs, and a step can be set back", async () => {
    const { app, store, path, id } = await studioWithPrint();
    await request(app).post(`${path}/steps/0/start`).expect(303);
    expect((await request(app).get("/prints")).text).toContain("data-started-ms");
    await request(app).post(`${path}/steps/1/start`).type("form").send({ sure: "yes" }).expect(303);
    const [exposure, bath] = store.prints.get(id).steps;
    expect(exposure?.endedAt).not.toBeNull();
    expect(bath).toMatchObject({ startedAt: expect.any(String), endedAt: null });
    await request(app).post(`${path}/steps/1/reset`).expect(303);
    expect(store.prints.get(id).steps[1]).toMatchObject({ startedAt: null, endedAt: null });
    await request(app).post(`${path}/steps/99/start`).expect(400);
    await request(app).post(`${path}/steps/0/jump`).expect(400);
  });

  it("when a press would cut a step short, asks once more and changes nothing until it is sure", async () => {
    const { app, store, path, id } = await studioWithPrint();
    await request(app).post(`${path}/steps/0/start`).expect(303);
    const running = store.prints.get(id).steps;
    const asked = await request(app).post(`${path}/steps/1/start`).expect(303);
    expect(store.prints.get(id).steps).toEqual(running);
    const { text } = await request(app).get(String(asked.headers["location"])).expect(200);
    expect(text).toMatch(/8:\d\d are left\./);
    expect(text).toContain(`action="${path}/steps/1/start"`);
    await request(app).post(`${path}/steps/0/end`).type("form").send({ sure: "yes" }).expect(303);
    expect(store.prints.get(id).steps[0]?.endedAt).not.toBeNull();
  });

  it("pauses, goes on, and gives a minute more", async () => {
    const { app, store, path, id } = await studioWithPrint();
    await request(app).post(`${path}/steps/0/start`).expect(303);
    await request(app).post(`${path}/steps/0/pause`).expect(303);
    expect((await request(app).get(path)).text).toContain("paused at");
    await request(app).post(`${path}/steps/0/minute`).expect(303);
    await request(app).post(`${path}/steps/0/resume`).expect(303);
    expect(store.prints.get(id).steps[0]).toMatchObject({ seconds: 570, pausedAt: null, endedAt: null });
  });

  it("splits an exposure, warms the lamp up, and says the plan beside the clock", async () => {
    const { app, store, ids } = await studioWithPrint();
    const form = { ...ids, minutes: "8", seconds: "0", parts: "2", restMinutes: "3", warmUpMinutes: "5" };
    const made = await request(app)
      .post("/prints/new")
      .type("form")
      .send({ ...form, planNote: "sky held back" })
      .expect(303);
    const { steps } = store.prints.get(String(made.headers["location"]).split("/").at(-1) ?? "");
    expect(steps.slice(0, 4).map(({ seconds }) => seconds)).toEqual([300, 240, 180, 240]);
    expect((await request(app).get(String(made.headers["location"]))).text).toContain("sky held back");
    const refused = await request(app)
      .post("/prints/new")
      .type("form")
      .send({ ...form, parts: "0" })
      .expect(400);
    expect(refused.text).toContain('href="#parts"');
  });

  it("is judged by one press, keeps its notes, and the judgement can be taken back", async () => {
    const { app, store, path, id } = await studioWithPrint();
    await request(app).post(path).field("outcome", "right").field("notes", "fine").expect(303);
    await request(app).post(path).field("notes", "fine, dry").expect(303);
    expect(store.prints.get(id)).toMatchObject({ outcome: "right", notes: "fine, dry" });
    await request(app).post(path).field("outcome", "none").field("notes", "").expect(303);
    expect(store.prints.get(id).outcome).toBeNull();
  });

  it("when a press comes twice, lets the step run on from its first start and end at its first end", async () => {
    const { app, store, path, id } = await studioWithPrint();
    const steps = store.prints
      .get(id)
      .steps.map((step, i) => (i === 1 ? { ...step, startedAt: "2026-05-01T12:00:00Z" } : step));
    await request(app).patch(`/api/prints/${id}`).send({ steps }).expect(200);
    await request(app).post(`${path}/steps/1/start`).expect(303);
    expect(store.prints.get(id).steps).toEqual(steps);
    const ended = steps.map((step, i) => (i === 1 ? { ...step, endedAt: "2026-05-01T12:05:00Z" } : step));
    await request(app).patch(`/api/prints/${id}`).send({ steps: ended }).expect(200);
    await request(app).post(`${path}/steps/1/end`).expect(303);
    expect(store.prints.get(id).steps).toEqual(ended);
  });

  it("when two prints came out too light at the calibrated time, holds that against the calibration", async () => {
    const { app, store, path, id, ids } = await studioWithPrint();
    const finished = store.prints
      .get(id)
      .steps.map((step) => ({ ...step, startedAt: "2026-05-01T12:00:00Z", endedAt: "2026-05-01T12:08:30Z" }));
    await request(app).patch(`/api/prints/${id}`).send({ steps: finished }).expect(200);
    await request(app)
      .post("/api/prints")
      .send({ ...ids, exposureSeconds: 510, steps: finished, outcome: "too-light" })
      .expect(201);
    await request(app).post(path).field("outcome", "too-light").field("notes", "pale").expect(303);
    const { text } = await request(app).get(path).expect(200);
    expect(text).toContain("2 of 2 prints came out too light");
    expect(text).toContain("pale");
  });

  it("when a print is deleted, leaves the log", async () => {
    const { app, store, path } = await studioWithPrint();
    await request(app).post(`${path}/delete`).expect(303);
    expect(store.prints.list().prints).toEqual([]);
    await request(app).get(path).expect(404);
  });
});
