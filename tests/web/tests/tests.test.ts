import request from "supertest";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, saveSampleMaterials, type SampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const photo = Buffer.from("a picture, as far as the fake reader is concerned");
const tablet = { kind: "transmission", steps: 5, increment: 0.3 };

function testRequest(materials: SampleMaterials, changes: object = {}): string {
  return JSON.stringify({ tablet, ...materials, exposureSeconds: 480, ...changes });
}

describe("POST /api/readings", () => {
  it("when sent a picture and a request, answers the reading and saves nothing", async () => {
    const { app, store } = testApp();
    const answer = await request(app)
      .post("/api/readings")
      .attach("photo", photo, "strip.jpg")
      .field("request", JSON.stringify({ tablet }))
      .expect(200);
    expect(answer.body).toEqual(JSON.parse(JSON.stringify(sampleReading())));
    expect(store.tests.count()).toBe(0);
  });

  it("when sent the plain sheet too, passes it to the reader", async () => {
    const jobs: ReadingJob[] = [];
    const imaging = fakeImaging({
      "measure-reading": (job) => {
        jobs.push(job as ReadingJob);
        return sampleReading();
      },
    });
    const { app } = testApp({ imaging });
    await request(app)
      .post("/api/readings")
      .attach("photo", photo, "a.jpg")
      .attach("evenLight", Buffer.from("sheet"), "b.jpg")
      .field("request", JSON.stringify({ tablet }))
      .expect(200);
    expect(Buffer.from(jobs[0]?.evenLight ?? []).toString()).toBe("sheet");
  });

  it("when sent two pictures of one print, answers their mean", async () => {
    let call = 0;
    const imaging = fakeImaging({
      "measure-reading": () => {
        call += 1;
        const reading = sampleReading();
        return {
          ...reading,
          steps: reading.steps.map((step) => ({ ...step, red: step.red + (call === 1 ? 0.01 : -0.01) })),
        };
      },
    });
    const { app } = testApp({ imaging });
    const answer = await request(app)
      .post("/api/readings")
      .attach("photo", photo, "a.jpg")
      .attach("photo", photo, "b.jpg")
      .field("request", JSON.stringify({ tablet }))
      .expect(200);
    answer.body.steps.forEach((step: { red: number; sigma: number }, index: number) => {
      expect(step.red).toBeCloseTo(sampleReading().steps[index]!.red, 12);
      // Two values 0.02 apart scatter by 0.0141, more than the 0.01 that each states, so that all of it is their own
      // and none is shared: their mean has the standard uncertainty 0.0141 / sqrt(2).
      expect(step.sigma).toBeCloseTo(0.01, 12);
    });
  });

  it.each([
    ["steps: 0", { tablet: { kind: "transmission", steps: 0, increment: 0.15 } }, "tablet.steps"],
    ["no increment", { tablet: { kind: "transmission", steps: 21 } }, "tablet.increment"],
    ["an unknown kind", { tablet: { kind: "ruler" } }, "tablet.kind"],
    ["no kind", { tablet: {} }, "tablet.kind"],
    ["no tablet", {}, "tablet"],
    ["text for a tablet", { tablet: "21 steps" }, "tablet"],
    ["two densities", { tablet: { kind: "transmission", densities: [0.1, 0.2] } }, "tablet.densities"],
    [
      "text among the densities",
      { tablet: { kind: "transmission", densities: [0.1, "0.2", 0.3] } },
      "tablet.densities.1",
    ],
    ["densities that fall", { tablet: { kind: "transmission", densities: [1.1, 0.6, 0.1] } }, "tablet.densities"],
    ["a negative time", { tablet: { kind: "timed", seconds: [10, -5, 2] } }, "tablet.seconds.1"],
    ["a level above 255", { tablet: { kind: "levels", levels: [0, 100, 300] } }, "tablet.levels.2"],
    [
      "three corners",
      {
        tablet,
        corners: [
          [0, 0],
          [1, 0],
          [1, 1],
        ],
      },
      "corners",
    ],
    ["a corner of one number", { tablet, corners: [[0], [1, 0], [1, 1], [0, 1]] }, "corners.0"],
    ["one reference patch", { tablet, reference: { patches: [{ density: 0.1, at: [1, 1] }] } }, "reference.patches"],
  ])("when the request has %s, answers 400 and names the field", async (_case, body, field) => {
    const { app } = testApp();
    const answer = await request(app)
      .post("/api/readings")
      .attach("photo", photo, "a.jpg")
      .field("request", JSON.stringify(body))
      .expect(400);
    expect(answer.headers["content-type"]).toMatch(/^application\/problem\+json/);
    expect(answer.body).toMatchObject({ status: 400, code: "bad-request", field });
    expect(answer.body.detail).not.toMatch(/Invalid input|expected|received|undefined/);
  });

  it("when the picture is missing, or the request is no JSON, or nothing is multipart, says which", async () => {
    const { app } = testApp();
    const withoutPhoto = await request(app)
      .post("/api/readings")
      .field("request", JSON.stringify({ tablet }))
      .expect(400);
    expect(withoutPhoto.body.field).toBe("photo");
    const brokenJson = await request(app)
      .post("/api/readings")
      .attach("photo", photo, "a.jpg")
      .field("request", "{tablet:")
      .expect(400);
    expect(brokenJson.body.field).toBe("request");
    const withoutRequest = await request(app).post("/api/readings").attach("photo", photo, "a.jpg").expect(400);
    expect(withoutRequest.body.field).toBe("request");
    await request(app).post("/api/readings").send({ tablet }).expect(415);
  });

  it.each([
    ["not-a-picture", 415],
    ["picture-too-large", 413],
    ["no-tablet-found", 422],
    ["corners-impossible", 422],
    ["busy", 503],
  ] as const)("when the reader says %s, answers %i with its words", async (code, status) => {
    const imaging = fakeImaging({
      "measure-reading": () => {
        throw new InputError(code, "Plain words.", { extra: { corners: [1, 2, 3] } });
      },
    });
    const answer = await request(testApp({ imaging }).app)
      .post("/api/readings")
      .attach("photo", photo, "a.jpg")
      .field("request", JSON.stringify({ tablet }))
      .expect(status);
    expect(answer.body).toMatchObject({ status, code, detail: "Plain words.", corners: [1, 2, 3] });
  });
});

describe("/api/tests", () => {
  it("when a test is saved, shown, listed, changed and deleted, answers as told", async () => {
    const { app, store, imaging } = testApp();
    const materials = saveSampleMaterials(store);
    const made = await request(app)
      .post("/api/tests")
      .attach("photo", photo, "strip.jpg")
      .field("request", testRequest(materials, { notes: "first", oxidised: true }))
      .expect(201);
    expect(made.body).toMatchObject({
      id: expect.any(String),
      ...materials,
      notes: "first",
      exposureSeconds: 480,
      exposure: { filmDensity: 0.1, targetShare: 0.9 },
    });
    for (const part of ["reading", "curve", "exposure", "warnings", "request"]) expect(made.body).toHaveProperty(part);
    expect((await request(app).get(made.headers["location"]!).expect(200)).body).toEqual(made.body);
    const list = await request(app).get(`/api/tests?lampId=${materials.lampId}`).expect(200);
    expect(list.body).toMatchObject([{ id: made.body.id, ...materials, tabletKind: "transmission" }]);

    const noted = await request(app).patch(`/api/tests/${made.body.id}`).send({ notes: "second" }).expect(200);
    expect(noted.body).toMatchObject({ notes: "second", oxidised: true, exposureSeconds: 480 });
    expect("asked" in imaging && imaging.asked).toHaveLength(1);
    const corners = [
      [1, 1],
      [9, 1],
      [9, 5],
      [1, 5],
    ];
    const moved = await request(app).patch(`/api/tests/${made.body.id}`).send({ corners }).expect(200);
    expect(moved.body.corners).toEqual(corners);
    expect("asked" in imaging && imaging.asked).toHaveLength(2);
    const found = await request(app).patch(`/api/tests/${made.body.id}`).send({ corners: null }).expect(200);
    expect(found.body).not.toHaveProperty("corners");

    await request(app).delete(`/api/tests/${made.body.id}`).expect(204);
    await request(app).get(`/api/tests/${made.body.id}`).expect(404);
    expect((await request(app).get("/api/tests")).body).toEqual([]);
  });

  it("when the sun was the lamp, keeps place and start", async () => {
    const { app, store } = testApp();
    const sun = {
      latitude: 52.5,
      longitude: 13.4,
      startedAt: "2026-05-01T12:00:00+02:00",
      tiltDegrees: 30,
      facingDegrees: 180,
    };
    const made = await request(app)
      .post("/api/tests")
      .attach("photo", photo, "a.jpg")
      .field("request", testRequest(saveSampleMaterials(store), { sun }))
      .expect(201);
    expect(made.body.sun).toEqual(sun);
    expect((await request(app).get("/api/tests")).body[0].madeAt).toBe(sun.startedAt);
  });

  it.each([
    ["an unknown lamp", { lampId: "nobody" }, "lampId"],
    ["an unknown fabric", { supportId: "nobody" }, "supportId"],
    ["an unknown coating", { coatingId: "nobody" }, "coatingId"],
    ["an unknown film", { filmId: "nobody" }, "filmId"],
    ["a time of zero", { exposureSeconds: 0 }, "exposureSeconds"],
    ["a negative time", { exposureSeconds: -3 }, "exposureSeconds"],
    ["no time", { exposureSeconds: undefined }, "exposureSeconds"],
    ["an unknown channel", { channel: "blue" }, "channel"],
    ["a date without offset", { madeAt: "2026-05-01T12:00:00" }, "madeAt"],
    ["a year far ahead", { madeAt: "2962-05-01T12:00:00Z" }, "madeAt"],
    [
      "a latitude beyond the pole",
      { sun: { latitude: 91, longitude: 0, startedAt: "2026-05-01T12:00:00Z" } },
      "sun.latitude",
    ],
    ["a humidity above 100", { humidityPercent: 130 }, "humidityPercent"],
  ])("when the request has %s, answers 400, names the field and saves nothing", async (_case, changes, field) => {
    const { app, store } = testApp();
    const answer = await request(app)
      .post("/api/tests")
      .attach("photo", photo, "a.jpg")
      .field("request", testRequest(saveSampleMaterials(store), changes))
      .expect(400);
    expect(answer.body).toMatchObject({ status: 400, field });
    expect(store.tests.count()).toBe(0);
  });

  it("when a change is wrong, keeps the test as it was", async () => {
    const { app, store } = testApp();
    const made = await request(app)
      .post("/api/tests")
      .attach("photo", photo, "a.jpg")
      .field("request", testRequest(saveSampleMaterials(store)))
      .expect(201);
    for (const change of [
      { exposureSeconds: -1 },
      { lampId: "nobody" },
      { tablet: { kind: "transmission", steps: 2, increment: 0.1 } },
    ]) {
      await request(app).patch(`/api/tests/${made.body.id}`).send(change).expect(400);
    }
    expect((await request(app).get(`/api/tests/${made.body.id}`)).body).toEqual(made.body);
    await request(app).patch("/api/tests/nobody").send({ notes: "x" }).expect(404);
    await request(app).delete("/api/tests/nobody").expect(404);
  });

  it("when the list is long, leads on from page to page", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    for (let n = 0; n < 5; n += 1)
      await request(app)
        .post("/api/tests")
        .attach("photo", photo, "a.jpg")
        .field("request", testRequest(materials, { name: `n ${n}` }))
        .expect(201);
    const seen: string[] = [];
    let address: string | undefined = "/api/tests?limit=2";
    while (address !== undefined) {
      const page: request.Response = await request(app).get(address).expect(200);
      seen.push(...page.body.map((test: { id: string }) => test.id));
      address = /<([^>]+)>; rel="next"/.exec(page.headers["link"] ?? "")?.[1];
    }
    expect(new Set(seen).size).toBe(5);
    await request(app).get("/api/tests?limit=0").expect(400);
    await request(app).get("/api/tests?verdict=great").expect(400);
    await request(app).get("/api/tests?after=nowhere").expect(400);
  });
});
