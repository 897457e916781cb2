import { afterEach, describe, expect, it, vi } from "vitest";
import request from "supertest";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { measureFrameByStrip } from "#src/studio/sun/witness-dose.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { lisbonNoon } from "../../support/studios/sun-tests.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

/** Under these clouds half the clear sky's light came through. */
const cloudShare = 0.5;
const coating = logistic({ net: 1.4, middle: 2 });

function studio() {
  const { app, store } = testApp({
    imaging: fakeImaging({
      "measure-reading": (job) => {
        const { request: asked } = job as ReadingJob;
        const isStrip = asked.tablet.kind === "timed";
        return syntheticReading({
          tablet: asked.tablet,
          exposureSeconds: 900,
          density: (logH) => coating(logH + (isStrip ? Math.log10(cloudShare) : 0)),
        });
      },
      preview: () => ({
        jpeg: new Uint8Array([255, 216, 255]),
        fullWidth: 100,
        fullHeight: 70,
        width: 100,
        height: 70,
      }),
    }),
  });
  return { app, store, materials: saveSampleMaterials(store) };
}

afterEach(() => {
  vi.useRealTimers();
});

describe("a witness strip", () => {
  it("gives a frame under clouds its dose, and the anchor that it becomes", async () => {
    vi.useFakeTimers({ toFake: ["Date"], now: Date.parse("2026-06-11T13:30:00+01:00") });
    const { app, store, materials } = studio();
    const save = async (fields: object): Promise<string> => {
      const body = { ...materials, ...fields };
      const { body: saved } = await request(app)
        .post("/api/tests")
        .attach("photo", Buffer.from("picture"), "a.jpg")
        .field("request", JSON.stringify(body))
        .expect(201);
      return saved.id as string;
    };
    const curve = await save({ tablet: tablet21, exposureSeconds: 900, sun: lisbonNoon, name: "Clear" });
    const startedAt = "2026-06-11T13:30:00+01:00";
    const seconds = [600, 400, 300, 200, 120, 60];
    const strip = await save({ tablet: { kind: "timed", seconds }, sun: { ...lisbonNoon, startedAt }, name: "Strip" });
    const plan = { ...lisbonNoon, startedAt: undefined, startAt: startedAt, anchorTestId: curve };
    const begun = (await request(app).post("/api/sun/frames").send({ name: "Fern", plan }).expect(201)).body;
    const at = (path = ""): string => `/api/sun/frames/${begun.id}${path}`;
    await request(app).post(at("/witness")).send({ stripTestId: strip, curveTestId: curve }).expect(400);
    const ended = await request(app).patch(at()).send({ endedAt: "2026-06-11T13:40:00+01:00" }).expect(200);
    const told = await request(app).post(at("/witness")).send({ stripTestId: strip, curveTestId: curve }).expect(200);
    expect(told.body.now.share / ended.body.now.share).toBeGreaterThan(cloudShare / 2 ** 0.15);
    expect(told.body.now.share / ended.body.now.share).toBeLessThan(cloudShare * 2 ** 0.15);
    // Asked again, by the act itself, the strip tells the same.
    const asked = { stripTestId: strip, curveTestId: curve, order: "uncovered" as const };
    const again = measureFrameByStrip({ store }, begun.id, asked);
    expect(again.measuredDose).toEqual(told.body.measuredDose);
    await request(app).post(at("/anchor")).send({ neededStops: 0, sure: true }).expect(201);
    const [anchor] = store.sunAnchors.list();
    expect(anchor?.measuredDose?.likely).toBeCloseTo(told.body.measuredDose.likely, 6);
    // A later print under clear sky is timed by what really fell: half the clear sky's ten minutes.
    const later = {
      ...lisbonNoon,
      startedAt: undefined,
      startAt: "2026-06-12T13:30:00+01:00",
      anchorIds: [anchor?.id],
    };
    const planned = (await request(app).post("/api/sun/exposures").send(later).expect(200)).body;
    expect(Math.abs(Math.log2(planned.seconds / 300))).toBeLessThan(0.15);
    const page = (await request(app).get("/sun/frames").expect(200)).text;
    expect(page).toContain("Fern");
  });

  it("that is no strip, or is told by its own curve, is refused with what to do", async () => {
    vi.useFakeTimers({ toFake: ["Date"], now: Date.parse("2026-06-11T13:30:00+01:00") });
    const { app, materials } = studio();
    const { body: test } = await request(app)
      .post("/api/tests")
      .attach("photo", Buffer.from("picture"), "a.jpg")
      .field("request", JSON.stringify({ ...materials, tablet: tablet21, exposureSeconds: 900, sun: lisbonNoon }))
      .expect(201);
    const plan = { ...lisbonNoon, startedAt: undefined, startAt: "2026-06-11T13:30:00+01:00", anchorTestId: test.id };
    const { body: frame } = await request(app).post("/api/sun/frames").send({ name: "Fern", plan }).expect(201);
    await request(app).patch(`/api/sun/frames/${frame.id}`).send({ endedAt: "2026-06-11T13:40:00+01:00" }).expect(200);
    const { body } = await request(app)
      .post(`/api/sun/frames/${frame.id}/witness`)
      .send({ stripTestId: test.id, curveTestId: test.id })
      .expect(400);
    expect(body.detail).toContain("uncovered in steps");
  });
});
