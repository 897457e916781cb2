import supertest from "supertest";
import { describe, expect, it } from "vitest";
import {
  sampleReading,
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
} from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

const labels = Array.from({ length: 21 }, (_, i) => Math.round((0.05 + 0.15 * i) * 1e6) / 1e6);
// A tablet 1.04 times as dense in ultraviolet as its label, and 0.03 denser; the coating is a logistic.
const coating = (logH: number) => 0.01 + 1.5 / (1 + Math.exp(-4.5 * (logH - 1.4)));
const print = (seconds: number) => ({
  seconds,
  densities: labels.map((label) => coating(Math.log10(seconds) - 0.03 - 1.04 * label)),
});
const timed = [10, 15, 20, 30, 40, 60].map((seconds) => ({ seconds, density: coating(Math.log10(seconds)) }));

describe("tablets of the studio", () => {
  it("are kept, calibrated in the studio's light, and given as a test's request carries them", async () => {
    const { app } = testApp();
    const api = supertest(app);
    const { body: made } = await api.post("/api/tablets").send({ name: "Old 21", densities: labels }).expect(201);
    const label = await api.get(`/api/tablets/${made.id}/in-light`).expect(200);
    expect(label.body).toMatchObject({ kind: "transmission", densities: labels, scaleSigmaShare: 0.025 });

    const { body } = await api
      .post(`/api/tablets/${made.id}/calibrations`)
      .send({ exposures: [print(200), print(400)], timed })
      .expect(201);
    expect(body.found.scale).toBeCloseTo(1.04, 6);
    expect(body.found.base).toBeCloseTo(0.03, 6);

    const { body: inLight } = await api.get(`/api/tablets/${made.id}/in-light`).expect(200);
    expect(inLight.densities[10]).toBeCloseTo(0.03 + 1.04 * labels[10]!, 6);
    expect(inLight.scaleSigmaShare).toBeLessThan(0.025);
    expect(inLight.baseSigmaDensity).toBeLessThan(0.02);
  });

  it("are calibrated straight from two saved tests", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const api = supertest(app);
    const { body: made } = await api.post("/api/tablets").send({ name: "Old 21", densities: labels }).expect(201);
    const pictureId = await savePicture(store);
    const testIds = [200, 400].map((seconds) => {
      const steps = print(seconds).densities.map((red, i) => ({
        ...sampleReading().steps[0]!,
        index: i + 1,
        input: labels[i]!,
        red,
        flags: [],
      }));
      const record = sampleTestRecord(materials, pictureId, {
        exposureSeconds: seconds,
        tablet: { kind: "transmission", densities: labels },
      });
      const { id } = store.transaction(() => store.tests.save({ ...record, reading: { ...record.reading, steps } }));
      return id;
    });
    const { body } = await api.post(`/api/tablets/${made.id}/calibrations`).send({ testIds }).expect(201);
    expect(body.found.scale).toBeCloseTo(1.04, 6);
    expect(body.found.base).toBeNull();
    expect(body.tablet.calibratedLampId).toBe(materials.lampId);

    const { body: other } = await api.post("/api/tablets").send({ name: "Another 21", densities: labels }).expect(201);
    const [test1, test2] = testIds;
    const page = await api.get("/tablets").set("Accept", "text/html").expect(200);
    expect(page.text).toContain(`<option value="${test1}"`);
    expect(body.testIds.toSorted()).toEqual(testIds.toSorted());
    const form = await api.post(`/tablets/${other.id}/calibrations`).type("form").send({ test1, test2 }).expect(303);
    expect(store.tablets.get(other.id).scale).toBeCloseTo(1.04, 6);
    const said = await api.get(form.headers["location"]!).set("Accept", "text/html").expect(200);
    expect(said.text).toContain("2 saved tests were judged anew with these densities.");
  });

  it("refuse prints with another number of steps, and prints that tell nothing, and say why", async () => {
    const { app } = testApp();
    const api = supertest(app);
    const { body: made } = await api.post("/api/tablets").send({ name: "Old 21", densities: labels }).expect(201);
    const short = { seconds: 200, densities: [1, 0.5, 0.1] };
    const wrong = await api
      .post(`/api/tablets/${made.id}/calibrations`)
      .send({ exposures: [short, { ...short, seconds: 400 }] })
      .expect(400);
    expect(wrong.body.detail).toContain("21 steps");
    const once = await api
      .post(`/api/tablets/${made.id}/calibrations`)
      .send({ exposures: [print(200)] })
      .expect(400);
    expect(once.body.detail).toContain("two different times");
  });

  it.each(["tests", "readings"])("refuse %s with a tablet that is not there", async (kind) => {
    const { app } = testApp();
    const answer = await supertest(app)
      .post(`/api/${kind}`)
      .attach("photo", Buffer.from([0xff, 0xd8, 0xff]), "strip.jpg")
      .field("request", JSON.stringify({ tabletId: "none", lampId: "a", supportId: "b", coatingId: "c" }))
      .expect(400);
    expect(answer.body.field).toBe("tabletId");
  });
});

describe("a tablet of one's own", () => {
  it("is chosen in the form of a new test when one comes from its page", async () => {
    const { app } = testApp();
    const api = supertest(app);
    const { body: made } = await api.post("/api/tablets").send({ name: "Old 21", densities: labels }).expect(201);
    const page = await api.get("/tablets").set("Accept", "text/html").expect(200);
    const href = /href="(\/tests\/new\?[^"]*)">New test with it/.exec(page.text)?.[1] ?? "";
    const form = await api.get(href).set("Accept", "text/html").expect(200);
    expect(form.text).toMatch(new RegExp(`value="own-${String(made.id)}"[^>]* checked`));
  });
});
