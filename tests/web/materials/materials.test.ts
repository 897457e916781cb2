import request from "supertest";
import { describe, expect, it } from "vitest";
import { sampleTestRecord, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe.each([
  ["lamps", { name: "Box, left", kind: "tubes", distanceMm: 200 }, { name: "Box, right" }],
  ["supports", { name: "Cotton sheeting", kind: "fabric" }, { notes: "washed twice" }],
  ["coatings", { name: "Blue, bottle 3", mixedAt: "2026-05-01" }, { archived: true }],
  ["films", { name: "Clear film", baseDensity: 0.08 }, { baseDensity: 0.11 }],
])("/api/%s", (resource, input, change) => {
  it("when one is made, shown, changed and deleted, answers as told", async () => {
    const { app } = testApp();
    const made = await request(app).post(`/api/${resource}`).send(input).expect(201);
    expect(made.body).toMatchObject({ ...input, id: expect.stringMatching(/^[\w-]{8,20}$/), archived: false });
    expect(made.headers["location"]).toBe(`/api/${resource}/${made.body.id}`);
    const shown = await request(app).get(`/api/${resource}/${made.body.id}`).expect(200);
    expect(shown.body).toEqual(made.body);
    const changed = await request(app).patch(`/api/${resource}/${made.body.id}`).send(change).expect(200);
    const { updatedAt } = changed.body as { updatedAt: string };
    expect(changed.body).toEqual({ ...made.body, ...change, updatedAt });
    expect(updatedAt > (made.body as { updatedAt: string }).updatedAt).toBe(true);
    const all = await request(app).get(`/api/${resource}?archived=true`).expect(200);
    expect(all.body).toEqual([changed.body]);
    await request(app).delete(`/api/${resource}/${made.body.id}`).expect(204);
    await request(app).get(`/api/${resource}/${made.body.id}`).expect(404);
  });

  it.each([
    ["no name", {}, "name"],
    ["a blank name", { name: "  " }, "name"],
    ["a number for a name", { name: 7 }, "name"],
    ["notes as a list", { name: "x", notes: [] }, "notes"],
  ])("when sent %s, refuses it and names the field", async (_case, body, field) => {
    const { app, store } = testApp();
    const answer = await request(app).post(`/api/${resource}`).send(body).expect(400);
    expect(answer.headers["content-type"]).toMatch(/^application\/problem\+json/);
    expect(answer.body).toMatchObject({
      status: 400,
      title: "Bad Request",
      code: "bad-request",
      field,
      detail: expect.stringContaining(field),
    });
    expect(store.lamps.list({ archived: true })).toEqual([]);
  });
});

describe("a material in use", () => {
  it("when deleted, is refused; when archived, stays with its tests", async () => {
    const { app, store } = testApp();
    const lampId = (await request(app).post("/api/lamps").send({ name: "Box" })).body.id;
    const supportId = (await request(app).post("/api/supports").send({ name: "Paper" })).body.id;
    const coatingId = (await request(app).post("/api/coatings").send({ name: "Blue" })).body.id;
    const filmId = (await request(app).post("/api/films").send({ name: "Film" })).body.id;
    const record = sampleTestRecord({ lampId, supportId, coatingId, filmId }, await savePicture(store));
    store.transaction(() => store.tests.save(record));
    for (const path of [
      `/api/lamps/${lampId}`,
      `/api/supports/${supportId}`,
      `/api/coatings/${coatingId}`,
      `/api/films/${filmId}`,
    ]) {
      const refused = await request(app).delete(path).expect(409);
      expect(refused.body).toMatchObject({ code: "in-use", detail: expect.stringContaining("Archive") });
      await request(app).patch(path).send({ archived: true }).expect(200);
    }
    expect((await request(app).get("/api/lamps")).body).toEqual([]);
    expect((await request(app).get("/api/tests")).body).toHaveLength(1);
  });
});
