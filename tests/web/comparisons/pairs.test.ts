import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let app: LookupStudio["app"];
let ids: LookupStudio["ids"];
let saveTest: LookupStudio["saveTest"];

beforeEach(async () => {
  ({ app, ids, saveTest } = await lookupStudio());
});

describe("POST /api/comparisons", () => {
  it("when cotton is compared with paper, says how much more time and how much less blue", async () => {
    const paper = await saveTest({ middle: 2, net: 1.5 });
    const cotton = await saveTest({ middle: 2.15, net: 1.2, supportId: ids["cotton"], seed: 2 });
    const { body } = await request(app)
      .post("/api/comparisons")
      .send({ testIds: [paper, cotton] })
      .expect(200);
    expect(body.tests.map((test: { id: string }) => test.id)).toEqual([paper, cotton]);
    const [pair] = body.pairs;
    expect(pair).toMatchObject({ firstId: paper, secondId: cotton });
    expect(Math.abs(Math.log2(pair.timeRatio.value / 10 ** 0.15))).toBeLessThan(0.16);
    expect(pair.timeRatio.lower).toBeLessThan(10 ** 0.15);
    expect(pair.timeRatio.upper).toBeGreaterThan(10 ** 0.15);
    expect(pair.dMaxDifference.value).toBeCloseTo(-0.3, 1);
    expect(pair.sentence).toMatch(
      /^Cotton needs 1\.[345]\d? times the time of Paper, .*its maximum blue is weaker by 0\.(2[5-9]|3)/,
    );
  });

  it("when one material was tested again, holds all tests of both against each other too", async () => {
    // The two that are compared lie 0.05 too near each other; the third says so.
    const paper = await saveTest({ middle: 2.05, seed: 1 });
    const cotton = await saveTest({ middle: 2.15, supportId: ids["cotton"], seed: 2 });
    const alone = (
      await request(app)
        .post("/api/comparisons")
        .send({ testIds: [paper, cotton] })
    ).body.pairs[0];
    expect(alone.pooled).toBeNull();
    await saveTest({ middle: 1.95, seed: 3 });
    await saveTest({ middle: 2, seed: 4 });
    const [pair] = (
      await request(app)
        .post("/api/comparisons")
        .send({ testIds: [paper, cotton] })
        .expect(200)
    ).body.pairs;
    expect(pair.pooled).toMatchObject({ firstTests: 3, secondTests: 1 });
    expect(pair.pooled.sentence).toMatch(/^By all 3 tests of Paper and the one test of Cotton: Cotton needs /);
    expect(Math.abs(Math.log10(pair.pooled.timeRatio.value) - 0.15)).toBeLessThan(0.03);
    expect(pair.pooled.timeRatio.value).toBeGreaterThan(pair.timeRatio.value);
    const page = await request(app)
      .get("/comparisons")
      .query({ testId: [paper, cotton] })
      .expect(200);
    expect(pair.sentence).toMatch(/^By these two tests alone: No difference in time shows between Paper and Cotton /);
    // All tests lead, on the page too: in the sentence over the bar and in the pair's.
    expect(page.text.split("By all 3 tests of Paper")).toHaveLength(3);
    expect(page.text.indexOf("By all 3 tests of Paper")).toBeLessThan(page.text.indexOf("By these two tests alone"));
    const again = (
      await request(app)
        .post("/api/comparisons")
        .send({ testIds: [cotton, paper] })
    ).body.pairs[0];
    expect(again.pooled.timeRatio.value * pair.pooled.timeRatio.value).toBeCloseTo(1, 9);
  });

  it("when the two are swapped, inverts the ratio and turns the differences", async () => {
    const [a, b] = [await saveTest({ middle: 2 }), await saveTest({ middle: 2.2, supportId: ids["cotton"], seed: 4 })];
    const there = (
      await request(app)
        .post("/api/comparisons")
        .send({ testIds: [a, b] })
    ).body.pairs[0];
    const back = (
      await request(app)
        .post("/api/comparisons")
        .send({ testIds: [b, a] })
    ).body.pairs[0];
    expect(there.speedRatio.value * back.speedRatio.value).toBeCloseTo(1, 12);
    expect(there.speedRatio.lower * back.speedRatio.upper).toBeCloseTo(1, 12);
    expect(there.speedRatio.value * there.timeRatio.value).toBeCloseTo(1, 12);
    for (const name of ["dMaxDifference", "dMinDifference", "logExposureRangeDifference", "averageGradientDifference"])
      expect(there[name].value + back[name].value).toBeCloseTo(0, 12);
  });

  it("when three are compared, answers every pair", async () => {
    const testIds = [await saveTest({ seed: 1 }), await saveTest({ seed: 2 }), await saveTest({ seed: 3 })];
    const { body } = await request(app).post("/api/comparisons").send({ testIds }).expect(200);
    expect(
      body.pairs.map((pair: { firstId: string; secondId: string }) => [
        testIds.indexOf(pair.firstId),
        testIds.indexOf(pair.secondId),
      ]),
    ).toEqual([
      [0, 1],
      [0, 2],
      [1, 2],
    ]);
    // Two prints of one coating: half a stop of difference would not show, so they are not called the same.
    expect(body.pairs[0].sentence).toMatch(/^No difference in time shows between the first test and the second \(/);
    expect(body.pairs[0].sentence).toMatch(
      /; −0\.\d stop to \+0\.\d stop\); its maximum blue is the same within 0\.\d\d/,
    );
  });

  it("when one reached no shoulder, compares what there is", async () => {
    const [a, b] = [await saveTest(), await saveTest({ middle: 2.6, exposureSeconds: 150 })];
    const { body } = await request(app)
      .post("/api/comparisons")
      .send({ testIds: [a, b] })
      .expect(200);
    expect(body.pairs[0]).toMatchObject({ speedRatio: null, timeRatio: null, warnings: [{ code: "no-time" }] });
  });

  it.each([
    ["one test", () => ["x"]],
    ["the same test twice", () => ["x", "x"]],
    ["an unknown test", () => ["x", "y"]],
    ["no list", () => undefined],
  ])("when sent %s, answers 400 and names the field", async (_case, testIds) => {
    const answer = await request(app).post("/api/comparisons").send({ testIds: testIds() }).expect(400);
    expect(answer.body.field).toBe("testIds");
  });
});
