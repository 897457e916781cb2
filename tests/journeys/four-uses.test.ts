// The four uses, start to end over HTTP, on the invented studio's pictures, against the truth that lies beside them.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import type { Truth } from "../../samples/render/scene.ts";
import { testApp } from "../support/test-app.ts";

const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 2 });
const { app } = testApp({ imaging });
afterAll(() => imaging.close());

const pictures = join(rootDir, "samples", "pictures");
const truthOf = (key: string): Truth => JSON.parse(readFileSync(join(pictures, `${key}.truth.json`), "utf8")) as Truth;
const stopsBetween = (one: number, other: number): number => Math.abs(Math.log2(one / other));

beforeAll(async () => {
  await request(app).post("/api/samples").expect(201);
});

describe("calibrating a new UV box", () => {
  it("when materials are added and one print is sent, answers a time near the truth and keeps it", async () => {
    const made = async (kind: string, body: object): Promise<string> =>
      (await request(app).post(`/api/${kind}`).send(body).expect(201)).body.id as string;
    const materials = {
      lampId: await made("lamps", { name: "The new box" }),
      supportId: await made("supports", { name: "Our paper", kind: "paper" }),
      coatingId: await made("coatings", { name: "Batch 1" }),
      filmId: await made("films", { name: "Our film", baseDensity: 0.08 }),
    };
    const truth = truthOf("scan-on-paper");
    const sent = await request(app)
      .post("/api/tests")
      .attach("photo", join(pictures, "scan-on-paper.jpg"))
      .field(
        "request",
        JSON.stringify({
          ...materials,
          tablet: truth.request.tablet,
          exposureSeconds: truth.exposureSeconds,
          name: "First test",
        }),
      )
      .expect(201);
    expect(sent.body.reading.location.method).toBe("found");
    expect(sent.body.exposure.verdict).toBe("ok");
    expect(stopsBetween(sent.body.exposure.seconds, truth.shoulderSeconds)).toBeLessThan(0.15);
    expect(sent.body.exposure.lowerSeconds).toBeLessThan(truth.shoulderSeconds);
    expect(sent.body.exposure.upperSeconds).toBeGreaterThan(truth.shoulderSeconds);

    const listed = await request(app).get("/api/tests").query({ lampId: materials.lampId }).expect(200);
    expect(listed.body.map((test: { id: string }) => test.id)).toEqual([sent.body.id]);
    const looked = await request(app).get("/api/exposures").query(materials).expect(200);
    expect(looked.body.testIds).toEqual([sent.body.id]);
    expect(stopsBetween(looked.body.seconds, sent.body.exposure.seconds)).toBeLessThan(0.02);
    const page = await request(app).get(`/tests/${sent.body.id}`).expect(200);
    expect(page.text).toContain("First test");
    await request(app).delete(`/api/lamps/${materials.lampId}`).expect(409);
  });

  it("when the test was too short, the next test's time would have been a good one", async () => {
    const { body } = await request(app).get("/api/tests/sample-test-under-exposed").expect(200);
    const truth = truthOf("under-exposed");
    expect(body.exposure.verdict).toBe("test-too-short");
    expect(body.exposure.nextTestSeconds).toBeGreaterThan(truth.shoulderSeconds);
    // The tablet reaches 3 in density; a good test leaves the toe on it.
    expect(Math.log10(body.exposure.nextTestSeconds) - 3).toBeLessThan(truth.curve.toeLogH + 0.3);
  });
});

describe("finding a sun exposure", () => {
  const place = {
    latitude: 52,
    longitude: 5,
    tiltDegrees: 0,
    facingDegrees: 180,
    anchorTestId: "sample-test-sun-test",
  };
  const askFor = (startAt: string): request.Test =>
    request(app)
      .post("/api/sun/exposures")
      .send({ ...place, startAt });

  it("when asked for the hour of the test itself, answers the test's own time", async () => {
    const { body } = await askFor("2026-06-20T13:10:00+02:00").expect(200);
    const test = await request(app).get("/api/tests/sample-test-sun-test").expect(200);
    expect(body.verdict).toBe("ok");
    expect(stopsBetween(body.seconds, test.body.exposure.seconds)).toBeLessThan(0.05);
    // The end is written to the whole second.
    const lastingMs = Date.parse(body.endAt) - Date.parse("2026-06-20T13:10:00+02:00");
    expect(Math.abs(lastingMs - body.seconds * 1000)).toBeLessThanOrEqual(500);
  });

  it("when asked for late afternoon, autumn and night, takes longer, longer still, and refuses", async () => {
    const noon = (await askFor("2026-06-20T13:10:00+02:00").expect(200)).body;
    const afternoon = (await askFor("2026-06-20T18:00:00+02:00").expect(200)).body;
    const autumn = (await askFor("2026-10-10T13:10:00+02:00").expect(200)).body;
    const night = (await askFor("2026-06-20T23:55:00+02:00").expect(200)).body;
    expect(afternoon.seconds).toBeGreaterThan(1.3 * noon.seconds);
    expect(autumn.seconds).toBeGreaterThan(1.5 * noon.seconds);
    expect(autumn.upperSeconds / autumn.lowerSeconds).toBeGreaterThan(noon.upperSeconds / noon.lowerSeconds);
    expect(night.seconds).toBeNull();
    expect(night.verdict).not.toBe("ok");
  });
});

describe("comparing paper and cotton", () => {
  it("when their tests are compared, the ratio of true times lies in its range and cotton is weaker", async () => {
    const { body } = await request(app)
      .post("/api/comparisons")
      .send({ testIds: ["sample-test-scan-on-paper", "sample-test-cotton"] })
      .expect(200);
    const [pair] = body.pairs;
    const trueRatio = truthOf("cotton").shoulderSeconds / truthOf("scan-on-paper").shoulderSeconds;
    expect(stopsBetween(pair.timeRatio.value, trueRatio)).toBeLessThan(0.25);
    expect(pair.timeRatio.lower).toBeLessThan(pair.timeRatio.value);
    expect(pair.timeRatio.upper).toBeGreaterThan(pair.timeRatio.value);
    expect(pair.dMaxDifference.value).toBeLessThan(0);
    // The sentence says the same in words: which is held against which, the ratio with its range, and what is weaker.
    const { value, lower, upper } = pair.timeRatio;
    expect(pair.sentence).toContain("Washed plain-weave cotton (sample) needs");
    expect(pair.sentence).toContain("Smooth cotton rag 300 g (sample)");
    expect(pair.sentence).toContain(`${value.toFixed(2)} times`);
    expect(pair.sentence).toContain(`${lower.toFixed(2)} to ${upper.toFixed(2)}`);
    expect(pair.sentence).toContain(`its maximum blue is weaker by ${(-pair.dMaxDifference.value).toFixed(2)}`);
  });
});

describe("feeding a correction back into the negative", () => {
  it("when a strip of grey levels was read, the levels it gives would print straight in lightness", async () => {
    const { body } = await request(app).get("/api/tests/sample-test-grey-levels/correction").expect(200);
    const levels = body.levels as number[];
    expect(levels.length).toBe(256);
    levels.forEach((level, index) => expect(level).toBeGreaterThanOrEqual(index === 0 ? 0 : levels[index - 1]!));
    const { steps } = truthOf("grey-levels");
    const lightnessAt = (level: number): number => {
      const above = Math.max(
        1,
        steps.findIndex((step) => step.input >= level),
      );
      const [low, high] = [steps[above - 1]!, steps[above]!];
      return (
        low.lightnessToPaper +
        ((level - low.input) / (high.input - low.input)) * (high.lightnessToPaper - low.lightnessToPaper)
      );
    };
    const [darkest, palest] = [lightnessAt(0), lightnessAt(255)];
    const errors = levels.map((level, wanted) =>
      Math.abs(lightnessAt(level) - (darkest + (wanted / 255) * (palest - darkest))),
    );
    expect(errors.reduce((sum, error) => sum + error, 0) / errors.length).toBeLessThan(0.8);
    expect(Math.max(...errors)).toBeLessThan(2.5);
  });

  it("when the curve is asked for in open formats, each is sent as a file of its kind", async () => {
    const asked = (end: string): request.Test =>
      request(app).get(`/api/tests/sample-test-grey-levels/correction${end}`).buffer(true).expect(200);
    expect((await asked(".csv")).text.trim().split("\n").length).toBe(257);
    expect((await asked(".txt")).text).toMatch(/^CGATS\.17/);
    const profile = (
      await asked(".icc").parse((response, done) => {
        const parts: Buffer[] = [];
        response.on("data", (part: Buffer) => parts.push(part));
        response.on("end", () => done(null, Buffer.concat(parts)));
      })
    ).body as Buffer;
    expect(profile.subarray(36, 40).toString("latin1")).toBe("acsp");
  });
});
