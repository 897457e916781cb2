import request from "supertest";
import { describe, expect, it } from "vitest";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const jpeg = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]);

describe("/api/prints", () => {
  it("when a print is begun without steps, takes the coating's procedure, else the default one", async () => {
    const { app, store } = testApp();
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    const plain = await request(app)
      .post("/api/prints")
      .send({ lampId, supportId, coatingId, exposureSeconds: 480 })
      .expect(201);
    expect(plain.body.steps.map((step: { seconds: number | null }) => step.seconds)).toEqual([480, 300, 60, 300, null]);
    const procedure = [
      { name: "Exposure", kind: "exposure", seconds: null },
      { name: "Wash", kind: "wash", seconds: 900 },
    ];
    await request(app).patch(`/api/coatings/${coatingId}`).send({ procedure }).expect(200);
    const own = await request(app)
      .post("/api/prints")
      .send({ lampId, supportId, coatingId, exposureSeconds: 240 })
      .expect(201);
    expect(own.body.steps.map((step: { name: string; seconds: number | null }) => [step.name, step.seconds])).toEqual([
      ["Exposure", 240],
      ["Wash", 900],
    ]);
  });

  it("when steps are timed and the outcome is judged, keeps both", async () => {
    const { app, store } = testApp();
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    const { body } = await request(app).post("/api/prints").send({ lampId, supportId, coatingId, exposureSeconds: 60 });
    const steps = body.steps.map((step: object) => ({
      ...step,
      startedAt: "2026-05-01T12:00:00Z",
      endedAt: "2026-05-01T12:01:10Z",
    }));
    await request(app).patch(`/api/prints/${body.id}`).send({ steps, outcome: "too-light" }).expect(200);
    const listed = await request(app).get("/api/prints?state=finished").expect(200);
    expect(listed.body.prints).toMatchObject([{ id: body.id, outcome: "too-light" }]);
  });

  it("when one field is changed, leaves name, notes and the rest as they were", async () => {
    const { app, store } = testApp();
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    const { body } = await request(app)
      .post("/api/prints")
      .send({ lampId, supportId, coatingId, exposureSeconds: 60, name: "Apron", notes: "left half thin" });
    const { body: changed } = await request(app).patch(`/api/prints/${body.id}`).send({ areaCm2: 400 }).expect(200);
    expect(changed).toMatchObject({ name: "Apron", notes: "left half thin", areaCm2: 400 });
  });

  it.each([
    [{ notes: 3 }, "notes"],
    [{ areaCm2: -4 }, "areaCm2"],
    [{ steps: [] }, "steps"],
    [{ name: "x".repeat(121) }, "name"],
  ])("when it is changed to %j, refuses, names %s and changes nothing", async (changes, field) => {
    const { app, store } = testApp();
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    const { body } = await request(app)
      .post("/api/prints")
      .send({ lampId, supportId, coatingId, exposureSeconds: 60, name: "Apron" });
    const refused = await request(app).patch(`/api/prints/${body.id}`).send(changes).expect(400);
    expect(refused.body.field).toBe(field);
    expect(store.prints.get(body.id)).toEqual(body);
  });

  it("describes a change as one that needs no field and sets none that is not sent", async () => {
    const { body } = await request(testApp().app).get("/api/openapi.json").expect(200);
    const schema = body.paths["/api/prints/{id}"].patch.requestBody.content["application/json"].schema;
    expect(schema.required ?? []).toEqual([]);
    expect(schema.properties.name.default).toBeUndefined();
    expect(schema.properties.notes.default).toBeUndefined();
  });

  it("when the lamp is unknown or the time is negative, refuses and names the field", async () => {
    const { app, store } = testApp();
    const { supportId, coatingId } = saveSampleMaterials(store);
    const unknown = await request(app)
      .post("/api/prints")
      .send({ lampId: "nope", supportId, coatingId, exposureSeconds: 60 })
      .expect(400);
    expect(unknown.body.field).toBe("lampId");
    const negative = await request(app)
      .post("/api/prints")
      .send({ lampId: "nope", supportId, coatingId, exposureSeconds: -1 })
      .expect(400);
    expect(negative.body.field).toBe("exposureSeconds");
  });

  it("when a picture is put, keeps it, and lets it go with the print", async () => {
    const { app, store } = testApp({
      imaging: fakeImaging({
        preview: () => ({ jpeg: new Uint8Array(), fullWidth: 1, fullHeight: 1, width: 1, height: 1 }),
      }),
    });
    const { lampId, supportId, coatingId } = saveSampleMaterials(store);
    const { body } = await request(app).post("/api/prints").send({ lampId, supportId, coatingId, exposureSeconds: 60 });
    const kept = await request(app)
      .put(`/api/prints/${body.id}/picture`)
      .attach("photo", jpeg, "print.jpg")
      .expect(200);
    expect(store.pictures.find(kept.body.pictureId)).toBeDefined();
    await request(app).delete(`/api/prints/${body.id}`).expect(204);
    expect(store.pictures.find(kept.body.pictureId)).toBeUndefined();
    await request(app).get(`/api/prints/${body.id}`).expect(404);
  });
});

describe("/api/stocks", () => {
  it("when a bottle is added, lists it; when its day is no day, refuses", async () => {
    const { app } = testApp();
    await request(app).post("/api/stocks").send({ name: "Citrate", madeOn: "2026-04-01" }).expect(201);
    expect((await request(app).get("/api/stocks")).body).toMatchObject([{ name: "Citrate" }]);
    const refused = await request(app).post("/api/stocks").send({ name: "Citrate", madeOn: "spring" }).expect(400);
    expect(refused.body.field).toBe("madeOn");
  });
});
