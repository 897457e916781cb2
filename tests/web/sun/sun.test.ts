import request from "supertest";
import { describe, expect, it } from "vitest";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import { lisbonNoon, saveSunTest } from "../../support/studios/sun-tests.ts";
import { testApp } from "../../support/test-app.ts";

const { startedAt, ...lisbon } = lisbonNoon;
const inJune = { ...lisbon, startAt: startedAt };

async function planned(body: object): Promise<SunExposureAnswer> {
  const { app } = testApp();
  return (await request(app).post("/api/sun/exposures").send(body).expect(200)).body;
}

describe("POST /api/sun/exposures", () => {
  it("for the anchor test's own hour, gives the seconds that the test advised", async () => {
    const { app, store } = testApp();
    const test = await saveSunTest(store);
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorTestId: test.id })
      .expect(200);
    expect(body).toMatchObject({ verdict: "ok", startAt: startedAt, sky: "clear", haze: 0.1 });
    expect(Math.abs(body.seconds / 240 - 1)).toBeLessThan(0.002);
    expect(body.lowerSeconds).toBeLessThan(210);
    expect(body.upperSeconds).toBeGreaterThan(280);
    expect(body.upperSeconds).toBeLessThan(300);
    expect(Date.parse(body.endAt) - Date.parse(body.startAt)).toBeCloseTo(body.seconds * 1000, -3);
    expect(body.endAt).toMatch(/\+01:00$/);
    expect(body.anchors).toMatchObject([{ id: test.id, kind: "test", name: "First sun test" }]);
    expect(body.reasons.join(" ")).toContain("First sun test");
  });

  it("in the evening, asks for more time, and its series for about the same", async () => {
    const { app, store } = testApp();
    const test = await saveSunTest(store);
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, startAt: "2026-06-10T18:00:00+01:00", anchorTestId: test.id })
      .expect(200);
    expect(body.seconds).toBeGreaterThan(400);
    const point = body.series.find((each: { at: string }) => each.at === "2026-06-10T18:00:00+01:00");
    expect(point.seconds).toBeCloseTo(body.seconds, 0);
    expect(body.series[0].seconds).toBeNull();
    expect(body.warnings.map((warning: { code: string }) => warning.code)).toContain("far-from-anchor");
  });

  it("with a dose, needs half the time for half the dose at noon", async () => {
    const whole = await planned({ ...inJune, dose: 40_000 });
    const half = await planned({ ...inJune, dose: 20_000 });
    expect(whole.verdict).toBe("ok");
    expect((half.seconds ?? NaN) / (whole.seconds ?? NaN)).toBeCloseTo(0.5, 2);
  });

  it("without anchor and dose, answers no-anchor with the day's strength and what to do", async () => {
    const answer = await planned(inJune);
    expect(answer).toMatchObject({
      verdict: "no-anchor",
      seconds: null,
      endAt: null,
      lowerSeconds: null,
      upperSeconds: null,
    });
    expect(answer.series.length).toBeGreaterThan(80);
    expect(answer.series.every((point) => point.seconds === null)).toBe(true);
    expect(answer.reasons.join(" ")).toContain("one test in the sun");
  });

  it("with a test that never saw the sun, says why it cannot be the anchor", async () => {
    const { app, store } = testApp();
    const test = await saveSunTest(store, { sun: null, name: "Box test" });
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorTestId: test.id })
      .expect(200);
    expect(body).toMatchObject({ verdict: "no-anchor", seconds: null });
    expect(body.reasons[0]).toContain("Box test");
  });

  it.each([
    ["not-before-sunset", { startAt: "2026-06-10T18:00:00+01:00", dose: 5e6 }],
    ["sun-too-low", { startAt: "2026-06-10T06:30:00+01:00", dose: 40_000 }],
    ["sun-too-low", { startAt: "2026-06-10T23:30:00+01:00", dose: 40_000 }],
    ["sky-unsuitable", { sky: "overcast", dose: 40_000 }],
    ["sky-unsuitable", { sky: "open-shade", dose: 40_000 }],
  ])("answers %s for %j, without a time and with a reason", async (verdict, change) => {
    const answer = await planned({ ...inJune, ...change });
    expect(answer).toMatchObject({ verdict, seconds: null, endAt: null, lowerSeconds: null, upperSeconds: null });
    expect(answer.reasons.length).toBeGreaterThan(0);
  });

  it("with several anchors, takes their mean and states the spread", async () => {
    const { app, store } = testApp();
    const first = await saveSunTest(store);
    const second = await saveSunTest(store, {}, 270);
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorTestIds: [first.id, second.id] })
      .expect(200);
    expect(body.anchors).toHaveLength(2);
    expect(body.anchorSpread).toBeCloseTo(Math.log(270 / 240) / Math.SQRT2, 2);
    expect(body.seconds).toBeGreaterThan(240);
    expect(body.seconds).toBeLessThan(270);
  });

  it("in a zone of the user's, shows that zone's day and offsets", async () => {
    const answer = await planned({ ...inJune, startAt: "2026-06-10T12:30:00Z", timeZone: "Europe/Lisbon" });
    expect(answer.startAt).toBe("2026-06-10T13:30:00+01:00");
    expect(answer.day.date).toBe("2026-06-10");
    expect(answer.day.sunriseAt).toMatch(/^2026-06-10T06:1\d:\d\d\+01:00$/);
  });

  it("in the polar night, stays calm", async () => {
    const answer = await planned({
      latitude: 78.2,
      longitude: 15.6,
      startAt: "2026-12-21T12:00:00+01:00",
      tiltDegrees: 0,
      facingDegrees: 0,
      dose: 40_000,
    });
    expect(answer).toMatchObject({
      verdict: "sun-too-low",
      series: [],
      day: { kind: "down", sunriseAt: null, sunsetAt: null, bestWindow: null },
    });
  });

  it.each([
    ["latitude", { latitude: 91 }],
    ["longitude", { longitude: "west" }],
    ["startAt", { startAt: "2026-06-10 13:30" }],
    ["startAt", { startAt: "1066-06-10T13:30:00Z" }],
    ["tiltDegrees", { tiltDegrees: -1 }],
    ["sky", { sky: "foggy" }],
    ["dose", { dose: 0 }],
    ["dose", { dose: 1000, anchorTestId: "x" }],
    ["anchorTestId", { anchorTestId: "nowhere" }],
    ["anchorIds", { anchorIds: ["nowhere"] }],
    ["timeZone", { timeZone: "Middle/Earth" }],
  ])("when %s is wrong in %j, refuses and names the field", async (field, change) => {
    const { app } = testApp();
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, ...change })
      .expect(400);
    expect(body).toMatchObject({ code: "bad-request", field });
  });
});

describe("/api/sun/anchors", () => {
  const kept = { name: "Garden, right by eye", ...lisbon, startedAt, endedAt: "2026-06-10T13:40:00+01:00" };

  it("when one is kept, used and deleted, answers as told", async () => {
    const { app } = testApp();
    const made = await request(app).post("/api/sun/anchors").send(kept).expect(201);
    expect(made.headers["location"]).toBe(`/api/sun/anchors/${made.body.id}`);
    expect((await request(app).get(`/api/sun/anchors/${made.body.id}`).expect(200)).body).toEqual(made.body);
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorIds: [made.body.id] })
      .expect(200);
    expect(body.verdict).toBe("ok");
    expect(Math.abs(body.seconds - 600)).toBeLessThan(2);
    expect((await request(app).get("/api/sun/anchors").expect(200)).body).toHaveLength(1);
    await request(app).delete(`/api/sun/anchors/${made.body.id}`).expect(204);
    await request(app).get(`/api/sun/anchors/${made.body.id}`).expect(404);
  });

  it("when the print needed a stop more and the sun was hidden meanwhile, reckons with both", async () => {
    const { app } = testApp();
    const input = {
      ...kept,
      neededStops: 1,
      hidden: [{ fromAt: "2026-06-10T13:30:00+01:00", untilAt: "2026-06-10T13:35:00+01:00" }],
    };
    const made = await request(app).post("/api/sun/anchors").send(input).expect(201);
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorIds: [made.body.id] })
      .expect(200);
    expect(Math.abs(body.seconds / (2 * (300 * 0.45 + 300)) - 1)).toBeLessThan(0.01);
    expect(body.upperSeconds / body.lowerSeconds).toBeGreaterThan(1.8);
  });

  it.each([
    ["endedAt", { endedAt: kept.startedAt }],
    ["endedAt", { endedAt: "2026-06-12T13:40:00+01:00" }],
    ["name", { name: " " }],
    ["sky", { sky: "overcast" }],
    ["startedAt", { startedAt: "2026-06-10T01:30:00+01:00", endedAt: "2026-06-10T01:40:00+01:00" }],
    ["supportId", { supportId: "nowhere" }],
  ])("when %s is wrong in %j, refuses and names the field", async (field, change) => {
    const { app, store } = testApp();
    const { body } = await request(app)
      .post("/api/sun/anchors")
      .send({ ...kept, ...change })
      .expect(400);
    expect(body).toMatchObject({ code: "bad-request", field });
    expect(store.sunAnchors.list()).toEqual([]);
  });
});

describe("POST /api/sun/exposures, slips", () => {
  it("when the zone cannot belong to the longitude, warns", async () => {
    const answer = await planned({ ...inJune, longitude: 105, timeZone: "America/Denver", dose: 40_000 });
    expect(answer.warnings.map((warning) => warning.code)).toContain("clock-does-not-fit");
  });

  it("when anchors are of different papers, warns", async () => {
    const { app, store } = testApp();
    const ids = [(await saveSunTest(store)).id, (await saveSunTest(store)).id];
    const { body } = await request(app)
      .post("/api/sun/exposures")
      .send({ ...inJune, anchorTestIds: ids })
      .expect(200);
    expect(body.warnings.map((warning: { code: string }) => warning.code)).toContain("anchors-differ");
  });

  it("lists the tests printed in the sun and no others", async () => {
    const { store } = testApp();
    const inSun = await saveSunTest(store);
    await saveSunTest(store, { sun: null });
    expect(store.sunTestIds(10)).toEqual([inSun.id]);
  });
});
