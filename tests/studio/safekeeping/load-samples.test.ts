import { readFileSync } from "node:fs";
import request from "supertest";
import { beforeAll, describe, expect, it } from "vitest";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { sampleTestId } from "#src/studio/safekeeping/load-samples.ts";
import type { Truth } from "../../../samples/render/scene.ts";
import { readStudio } from "../../../samples/studio.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { testApp } from "../../support/test-app.ts";

const studio = readStudio();
const truthOf = (key: string): Truth =>
  JSON.parse(readFileSync(new URL(`../../../samples/pictures/${key}.truth.json`, import.meta.url), "utf8")) as Truth;
const { app, store } = testApp({
  imaging: fakeImaging({ "measure-reading": (job) => measureReading(job as ReadingJob) }),
});

describe("POST /api/samples", () => {
  beforeAll(async () => {
    await request(app).post("/api/samples").expect(201);
  });

  it("when asked, saves every sample test as invented, with its picture", async () => {
    const { body } = await request(app).get("/api/tests").expect(200);
    expect(body.length).toBe(studio.tests.length);
    for (const test of body as { invented: boolean; pictureId: string }[]) {
      expect(test.invented).toBe(true);
      expect(test.pictureId).not.toBe("");
    }
  });

  it("when asked again, changes nothing", async () => {
    const before = store.tests.get(sampleTestId(studio.tests[0]!)).updatedAt;
    const { body } = await request(app).post("/api/samples").expect(200);
    expect(body.added).toBe(0);
    expect(store.tests.count()).toBe(studio.tests.length);
    expect(store.lamps.list().length).toBe(studio.lamps.length);
    expect(store.tests.get(sampleTestId(studio.tests[0]!)).updatedAt).toBe(before);
  });

  it("when one sample was deleted, brings that one back", async () => {
    await request(app)
      .delete(`/api/tests/${sampleTestId({ key: "under-exposed" })}`)
      .expect(204);
    const { body } = await request(app).post("/api/samples").expect(201);
    expect(body.added).toBe(1);
    expect(store.tests.count()).toBe(studio.tests.length);
  });

  it.each([
    ["scan-on-paper", 0.15],
    ["tilted-photo", 0.5],
    ["cotton", 0.25],
    ["sun-test", 0.25],
  ] as const)("when %s is read, the advised time is within %f stop of the truth", (key, stops) => {
    const { exposure } = store.tests.get(sampleTestId({ key }));
    expect(exposure.verdict).toBe("ok");
    expect(Math.abs(Math.log2(exposure.seconds! / truthOf(key).shoulderSeconds))).toBeLessThan(stops);
  });

  it.each([
    ["under-exposed", "test-too-short"],
    ["over-exposed", "test-too-long"],
  ] as const satisfies readonly (readonly [string, Verdict])[])(
    "when %s is read, the verdict is %s and the next test's time is given",
    (key, verdict) => {
      const { exposure } = store.tests.get(sampleTestId({ key }));
      expect(exposure.verdict).toBe(verdict);
      expect(exposure.nextTestSeconds).toBeGreaterThan(0);
    },
  );
});

describe("POST /demo", () => {
  it("when the first page's button is pressed, loads what is missing and goes back to the first page", async () => {
    const answer = await request(app).post("/demo").expect(303);
    expect(answer.headers["location"]).toBe("/");
  });
});
