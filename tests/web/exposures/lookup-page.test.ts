// Exposure lookup and comparison pages on saved tests of two supports.
import request from "supertest";
import { beforeAll, describe, expect, it } from "vitest";
import type { Express } from "express";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import type { Reading, ReadingRequest } from "#shared/schema/reading.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { testRequestSchema } from "#shared/schema/test.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveSampleMaterials, type SampleMaterials } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

const exposureSeconds = 2400;
/** Cotton needs 10^0.2 = 1.58 times the light and reaches 0.4 less. */
const paper = logistic({ net: 1.4, middle: 2.1 });
const cotton = logistic({ net: 1.0, middle: 2.3 });

describe("lookup and comparison", () => {
  let app: Express;
  let materials: SampleMaterials;
  let clothId = "";
  let paperTest = "";
  let clothTest = "";

  beforeAll(async () => {
    let density = paper;
    const made = testApp({
      imaging: fakeImaging({
        "measure-reading": (job): Reading =>
          syntheticReading({ tablet: (job as { request: ReadingRequest }).request.tablet, exposureSeconds, density }),
      }),
    });
    app = made.app;
    materials = saveSampleMaterials(made.store);
    clothId = made.store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false }).id;
    const save = async (supportId: string, name: string, text: string): Promise<string> => {
      const saved = await recordTest(made, {
        request: testRequestSchema.parse({ ...materials, supportId, name, tablet: tablet21, exposureSeconds }),
        pictures: { photos: [new TextEncoder().encode(text)] },
      });
      return saved.id;
    };
    paperTest = await save(materials.supportId, "on paper", "one");
    density = cotton;
    clothTest = await save(clothId, "on cotton", "two");
  });

  it("gives the time of a tested combination, its range and the test it rests on", async () => {
    const { text } = await request(app)
      .get("/exposures")
      .query({
        lampId: materials.lampId,
        supportId: materials.supportId,
        coatingId: materials.coatingId,
        filmId: materials.filmId,
        share: "0.9",
        distanceMm: "",
      })
      .expect(200);
    // Shoulder of a logistic with rate 4 at 90 %: middle + ln(9)/4 = 2.6493; through a base of 0.10: 10^2.7493 = 561 s
    // = 9:21. The test on cotton, which needs longer, draws it a little: by less than a twentieth of a stop.
    expect(/answer-time[^>]*"><span aria-hidden="true">([\d:]+)</.exec(text)?.[1]).toMatch(/^9:[123]\d$/);
    expect(text.includes("the next print, 95 of 100 times")).toBe(true);
    expect(text.includes(`/tests/${paperTest}`)).toBe(true);
    // ... and the range without what differs from print to print is of all that is known, not of one test.
    expect(text).toContain("What all tests leave unsure: ");
    expect((await request(app).get(`/tests/${paperTest}`)).text).toContain("This calibration alone: ");
    // The ranges of the tests are narrower than the large one: each says what it is of.
    expect(text).toContain("the range of that print alone");
    expect((await request(app).get("/tests")).text).toContain("The range under a time is of that print alone");
  });

  it("stands before its folded form, and leads to a run sheet with its time and range", async () => {
    const { lampId, supportId, coatingId, filmId } = materials;
    const query = { lampId, supportId, coatingId, filmId };
    const { text } = await request(app).get("/exposures").query(query).expect(200);
    const form = text.slice(text.indexOf("<details"), text.indexOf('action="/exposures"'));
    expect(form).toContain("Look up something else");
    expect(form).not.toContain("open");
    const { seconds, nextPrint } = (await request(app).get("/api/exposures").query(query)).body as ExposureAnswer;
    const href = /href="(\/prints\/new[^"]*)"/.exec(text)?.[1]?.replaceAll("&amp;", "&") ?? "";
    expect(new URL(href, "http://here").searchParams.get("advisedSeconds")).toBe(String(seconds));
    expect(new URL(href, "http://here").searchParams.get("advisedUpperSeconds")).toBe(String(nextPrint?.upperSeconds));
  });

  it("asks for what is not chosen yet, without a fuss", async () => {
    const { text } = await request(app).get("/exposures").query({ lampId: materials.lampId }).expect(200);
    expect(text.includes('role="alert"')).toBe(false);
    expect(text.includes(`value="${materials.lampId}" selected`)).toBe(true);
  });

  it("says which choice is no longer there", async () => {
    const { text } = await request(app)
      .get("/exposures")
      .set("Accept", "text/html")
      .query({ lampId: "gone", supportId: materials.supportId, coatingId: materials.coatingId })
      .expect(400);
    expect(text.includes("field-error")).toBe(true);
  });

  it("compares two tests in a sentence, a plot and figures", async () => {
    const { text } = await request(app).get(`/comparisons?testId=${paperTest}&testId=${clothTest}`).expect(200);
    const sentence = /compared-sentence">([^<]*)</.exec(text)?.[1] ?? "";
    expect(sentence).toMatch(/\d:\d\d is 1\.[56]\d times .*\d:\d\d \(\+0\.[67] stop, 0\.\d to [01]\.\d\)\./);
    expect(text.indexOf("plot-still")).toBeLessThan(text.indexOf("compared-sentence"));
    expect(text.includes("plot-still")).toBe(true);
    expect(text.match(/plot-line"/g)?.length).toBeGreaterThanOrEqual(2);
  });

  it("when another test is chosen to hold against, turns the sentence round", async () => {
    const both = `/comparisons?testId=${paperTest}&testId=${clothTest}`;
    const { text } = await request(app).get(`${both}&reference=${clothTest}`).expect(200);
    expect(/compared-sentence">([^<]*)</.exec(text)?.[1]).toMatch(/is 0\.6\d times .*\(\u22120\.[67] stop/);
    expect(text).toContain(`reference=${paperTest}`);
  });

  it("asks for a second test where one is ticked, and refuses a test that is gone", async () => {
    expect(
      (await request(app).get(`/comparisons?testId=${paperTest}`).expect(200)).text.includes("tick at least one more"),
    ).toBe(true);
    await request(app).get(`/comparisons?testId=${paperTest}&testId=gone`).set("Accept", "text/html").expect(400);
  });
});
