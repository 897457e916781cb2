import type { Express } from "express";
import request from "supertest";
import { describe, expect, it } from "vitest";
import type { Reading } from "#shared/schema/reading.ts";
import { InputError } from "#shared/errors.ts";
import { addBatch } from "#src/studio/materials/keep-batch.ts";
import { changeMaterial } from "#src/studio/materials/keep-material.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, sampleRequest, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const picture = new TextEncoder().encode("a made-up picture");

async function studioWithTest() {
  const studio = testApp();
  const materials = saveSampleMaterials(studio.store);
  const test = await recordTest(studio, {
    request: sampleRequest(materials, { name: "Box on paper" }),
    pictures: { photos: [picture] },
  });
  return { ...studio, test };
}

const exported = async (studio: Awaited<ReturnType<typeof studioWithTest>>): Promise<string> =>
  (await request(studio.app).get(`/api/calibrations?testIds=${studio.test.id}`).expect(200)).text;
const bringIn = (app: Express, text: string) =>
  request(app).post("/api/calibrations").attach("calibrations", Buffer.from(text), "calibrations.json");

describe("shared calibrations", () => {
  it("when a file goes to an empty studio, brings test, materials and picture, and the same time", async () => {
    const from = await studioWithTest();
    const to = testApp();
    const answer = await bringIn(to.app, await exported(from)).expect(201);
    expect(answer.body).toMatchObject({ added: 1, alreadyHere: 0, refused: 0, materialsAdded: 4 });
    const arrived = to.store.tests.get(answer.body.tests[0].id);
    expect(arrived.exposure).toEqual(from.test.exposure);
    expect(arrived.pictureId).toBe(from.test.pictureId);
    expect(new TextDecoder().decode(await to.store.pictures.read(arrived.pictureId))).toBe("a made-up picture");
    expect(to.store.lamps.list()).toMatchObject([{ name: "Box", kind: "tubes" }]);
  });

  it("says from whom it comes, on the file and on each test, which keeps it when it is sent on", async () => {
    const from = await studioWithTest();
    const sent = await request(from.app)
      .get("/api/calibrations")
      .query({ testIds: from.test.id, studio: "Studio North", note: "our new box" })
      .expect(200);
    const day = new Date().toISOString().slice(0, 10);
    expect(sent.headers["content-disposition"]).toContain(`Studio-North-calibrations-${day}.json`);
    const to = testApp();
    const sender = { studio: "Studio North", note: "our new box", sentOn: day };
    const { body } = await bringIn(to.app, sent.text).expect(201);
    expect(body).toMatchObject({ added: 1, from: sender });
    expect(to.store.tests.get(body.tests[0].id).request.from).toEqual(sender);
    const page = await request(to.app).get(`/tests/${body.tests[0].id}`).set("Accept", "text/html").expect(200);
    expect(page.text).toContain("Studio North");
    await request(to.app).put("/api/studio").send({ name: "Studio South" }).expect(200);
    const sentOn = await request(to.app).get("/api/calibrations").expect(200);
    const third = testApp();
    const again = await bringIn(third.app, sentOn.text).expect(201);
    expect(again.body.from.studio).toBe("Studio South");
    expect(third.store.tests.get(again.body.tests[0].id).request.from).toEqual(sender);
  });

  it("lets a batch, a printer and the other strip of a sheet stop no test", async () => {
    const from = await studioWithTest();
    const { coatingId, filmId } = from.test.request;
    const batch = addBatch(from, coatingId, { madeOn: "2026-05-01", stockIds: ["bottle"] });
    changeMaterial(from, { kind: "films", id: filmId ?? "", changes: { printerId: "desk-printer" } });
    const request = { ...from.test.request, batchId: batch.id };
    const second = await recordTest(from, { request, pictures: { photos: [new Uint8Array([1])] } });
    const { id: _id, createdAt: _createdAt, updatedAt: _updatedAt, ...record } = second;
    from.store.tests.replace(second.id, { ...record, request: { ...request, headToTailTestId: from.test.id } });
    const text = await exported({ ...from, test: second });
    expect(text).not.toMatch(/bottle|desk-printer/);
    const to = testApp();
    const { body } = await bringIn(to.app, text).expect(201);
    expect(body).toMatchObject({ added: 1, refused: 0 });
    expect(to.store.tests.get(body.tests[0].id).request).toMatchObject({ batchId: batch.id, headToTailTestId: null });
    const other = await studioWithTest();
    const there = await bringIn(other.app, text).expect(201);
    expect(there.body).toMatchObject({ added: 1, refused: 0, materialsAdded: 0 });
    expect(other.store.tests.get(there.body.tests[0].id).request.batchId).toBeNull();
  });

  it("when a file comes in twice, or comes home, adds nothing", async () => {
    const from = await studioWithTest();
    const text = await exported(from);
    const to = testApp();
    await bringIn(to.app, text).expect(201);
    expect((await bringIn(to.app, text).expect(201)).body).toMatchObject({
      added: 0,
      alreadyHere: 1,
      materialsAdded: 0,
    });
    expect((await bringIn(from.app, text).expect(201)).body).toMatchObject({
      added: 0,
      alreadyHere: 1,
      materialsAdded: 0,
    });
    expect(to.store.tests.list().tests).toHaveLength(1);
    expect(to.store.lamps.list()).toHaveLength(1);
  });

  it("when a picture cannot be read here, refuses that test, says why and leaves no materials behind", async () => {
    const text = await exported(await studioWithTest());
    const refuse = (): never => {
      throw new InputError("not-a-picture", "This is not a picture.");
    };
    const to = testApp({ imaging: fakeImaging({ "measure-reading": refuse }) });
    const answer = await bringIn(to.app, text).expect(201);
    expect(answer.body).toMatchObject({
      added: 0,
      refused: 1,
      materialsAdded: 0,
      tests: [{ outcome: "refused", reason: "This is not a picture." }],
    });
    expect(to.store.lamps.list({ archived: true })).toEqual([]);
  });

  it("while a picture is read has brought in no material yet: a process that dies then leaves none bare", async () => {
    const text = await exported(await studioWithTest());
    const lampsMeanwhile: number[] = [];
    const measure = (): Reading => {
      lampsMeanwhile.push(to.store.lamps.list({ archived: true }).length);
      return sampleReading();
    };
    const to = testApp({ imaging: fakeImaging({ "measure-reading": measure }) });
    await bringIn(to.app, text).expect(201);
    expect(lampsMeanwhile).toEqual([0]);
    expect(to.store.lamps.list()).toHaveLength(1);
    expect(to.store.tests.count()).toBe(1);
  });

  it.each([
    ["is no JSON", () => "{", "calibrations"],
    ["is of another kind", (text: string) => text.replace("wedgewright-calibrations", "something-else"), "format"],
    [
      "is of a newer version",
      (text: string) => text.replace('"formatVersion": 1', '"formatVersion": 2'),
      "formatVersion",
    ],
    [
      "has a changed picture",
      (text: string) => text.replace(Buffer.from(picture).toString("base64"), Buffer.from("other").toString("base64")),
      "pictures.",
    ],
    ["lost its lamp", (text: string) => JSON.stringify({ ...JSON.parse(text), lamps: {} }), "tests.0"],
    [
      "has a negative time",
      (text: string) => text.replace('"exposureSeconds": 480', '"exposureSeconds": -5'),
      "tests.0.request.exposureSeconds",
    ],
  ])("when the file %s, refuses it whole and names the field", async (_case, spoil, field) => {
    const text = await exported(await studioWithTest());
    const to = testApp();
    const answer = await bringIn(to.app, spoil(text)).expect(400);
    expect(answer.body.field).toContain(field);
    expect(to.store.tests.list().tests).toEqual([]);
    expect(to.store.lamps.list()).toEqual([]);
  });

  it("when nothing fits the filter, or an id is unknown, answers 404", async () => {
    const { app } = testApp();
    await request(app).get("/api/calibrations").expect(404);
    await request(app).get("/api/calibrations?testIds=nope").expect(404);
  });

  it("when tests are shared by a filter, keeps to it and carries the corners that were used", async () => {
    const studio = await studioWithTest();
    const file = JSON.parse(
      (await request(studio.app).get(`/api/calibrations?lampId=${studio.test.request.lampId}`).expect(200)).text,
    );
    expect(file.tests).toHaveLength(1);
    expect(file.tests[0].request.corners).toEqual(sampleReading().location.corners);
    await request(studio.app).get("/api/calibrations?lampId=other").expect(404);
  });
});
