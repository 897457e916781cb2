import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { formatDuration } from "#shared/format/duration.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import { shoulderAboveMiddle } from "../../support/curve-imaging.ts";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let app: LookupStudio["app"];
let ids: LookupStudio["ids"];
let saveTest: LookupStudio["saveTest"];
let make: LookupStudio["make"];

async function lookUp(query: Record<string, string | number | undefined> = {}): Promise<ExposureAnswer> {
  const answer = await request(app)
    .get("/api/exposures")
    .query({ lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"], filmId: ids["film"], ...query });
  expect(answer.status, JSON.stringify(answer.body)).toBe(200);
  return answer.body as ExposureAnswer;
}

/** Seconds to the shoulder of the true curve through the film. */
const trueSeconds = (middle: number, filmDensity: number): number => 10 ** (middle + shoulderAboveMiddle + filmDensity);

beforeEach(async () => {
  ({ app, ids, saveTest, make } = await lookupStudio());
});

describe("GET /api/exposures", () => {
  it("when nothing was tested, says so and which test to make", async () => {
    expect(await lookUp()).toMatchObject({
      source: "unknown",
      seconds: null,
      testIds: [],
      provenance: [expect.stringContaining("make one test")],
    });
  });

  it("when just this was tested, gives the test's own time, and ranges that hold the scatter of prints", async () => {
    const id = await saveTest();
    const answer = await lookUp();
    const test = (await request(app).get(`/api/tests/${id}`)).body;
    expect(answer).toMatchObject({ source: "tested", testIds: [id], verdict: "ok", filmDensity: 0.1 });
    expect(answer.seconds! / test.exposure.seconds).toBeCloseTo(1, 3);
    expect(answer.lowerSeconds!).toBeLessThan(test.exposure.lowerSeconds);
    expect(answer.upperSeconds!).toBeGreaterThan(test.exposure.upperSeconds);
    expect(answer.nextPrint!.lowerSeconds).toBeLessThan(answer.lowerSeconds!);
    expect(answer.nextPrint!.upperSeconds).toBeGreaterThan(answer.upperSeconds!);
    // About half a stop either way, while nothing is known of how this studio's prints scatter.
    expect(answer.nextPrint!.upperSeconds / answer.nextPrint!.lowerSeconds).toBeLessThan(2.2);
    expect(Math.abs(Math.log2(answer.seconds! / trueSeconds(2, 0.1)))).toBeLessThan(0.1);
  });

  it("when it was tested three times, pools them, closer than one alone", async () => {
    await saveTest({ seed: 1 });
    const one = await lookUp();
    await saveTest({ seed: 2 });
    await saveTest({ seed: 3 });
    const three = await lookUp();
    expect(three).toMatchObject({ source: "pooled", verdict: null });
    expect(three.testIds).toHaveLength(3);
    expect(three.upperSeconds! / three.lowerSeconds!).toBeLessThan(one.upperSeconds! / one.lowerSeconds!);
  });

  it("when the same picture is sent again, counts it once and says so", async () => {
    await saveTest({ seed: 1 });
    const one = await lookUp();
    const again = await saveTest({ seed: 1 });
    const two = await lookUp();
    expect(two.testIds).toEqual([again]);
    expect(two.provenance.join(" ")).toContain("Counted once");
    expect(two.upperSeconds! / two.lowerSeconds!).toBeCloseTo(one.upperSeconds! / one.lowerSeconds!, 6);
  });

  it("when a share is wanted that no test reaches, gives a bound, not another share's time", async () => {
    // The clearest step lies at the 90 % point and 0.06 beyond it, so the curve ends below 99 %.
    await saveTest({ middle: 2, exposureSeconds: 10 ** (2 + shoulderAboveMiddle + 0.8) });
    const [usual, deepest] = [await lookUp(), await lookUp({ share: 0.99 })];
    if (deepest.seconds === null) {
      expect(deepest.lowerSeconds).toBeCloseTo(usual.seconds!, 6);
      expect(deepest).toMatchObject({ upperSeconds: null, nextPrint: null });
      expect(deepest.warnings.map(({ code }) => code)).toContain("share-not-reached");
    } else expect(deepest.seconds).toBeGreaterThan(1.3 * usual.seconds!);
  });

  it("when tests were made under a sun, gives the newest one's time and never their mean", async () => {
    await saveTest({ lampId: ids["sun"], seed: 1, madeAt: "2026-06-21T12:00:00Z" });
    await saveTest({ lampId: ids["sun"], seed: 2, middle: 2.4, madeAt: "2026-09-21T12:00:00Z" });
    const answer = await lookUp({ lampId: ids["sun"] });
    expect(answer.testIds).toHaveLength(1);
    expect(Math.abs(Math.log2(answer.seconds! / trueSeconds(2.4, 0.1)))).toBeLessThan(0.15);
    expect(answer.provenance.join(" ")).toContain("other suns");
  });

  it("when a lamp without a usual distance was tested at two, answers for the newest and pools nothing", async () => {
    const bare = await make("lamps", { name: "Loose panel", kind: "led", widthMm: 600, heightMm: 600 });
    await saveTest({ lampId: bare, lampDistanceMm: 100, middle: 1.9, madeAt: "2026-01-01T12:00:00Z" });
    await saveTest({ lampId: bare, lampDistanceMm: 150, middle: 2.05, seed: 2, madeAt: "2026-02-01T12:00:00Z" });
    const answer = await lookUp({ lampId: bare });
    expect(answer.distanceMm).toBe(150);
    expect(Math.abs(Math.log2(answer.seconds! / trueSeconds(2.05, 0.1)))).toBeLessThan(0.25);
  });

  it("when two tests contradict each other, says so and gives no time, least of all their mean", async () => {
    await saveTest({ middle: 2 });
    await saveTest({ middle: 2.3 });
    const answer = await lookUp();
    expect(answer.warnings.map((warning) => warning.code)).toContain("tests-disagree");
    expect(answer).toMatchObject({ seconds: null, lowerSeconds: null, upperSeconds: null, nextPrint: null });
    const { lamp, paper, blue, film } = ids;
    const combination = `lampId=${lamp}&supportId=${paper}&coatingId=${blue}&filmId=${film}`;
    const [page, box, sheet] = await Promise.all(
      [
        `/exposures?${combination}`,
        `/studio/boxes/${ids["lamp"]}`,
        `/prints/new?${combination}&exposureSeconds=777&advisedSeconds=777&advisedLowerSeconds=700` +
          "&advisedUpperSeconds=800",
      ].map(async (path) => (await request(app).get(path).expect(200)).text),
    );
    expect(page).toContain("Tests disagree: retest");
    expect(box).not.toContain("/prints/new?");
    expect(box).toContain("Test again");
    expect(sheet).toContain("Tests disagree: retest");
    expect(sheet).not.toContain('name="advisedSeconds"');
    expect(sheet).toMatch(/name="minutes"[^>]*value=""/);
  });

  it("when the film is another of known base, carries the time by the difference", async () => {
    await saveTest();
    const tested = await lookUp();
    const thick = await lookUp({ filmId: ids["thick"] });
    expect(thick.source).toBe("transferred");
    expect(thick.seconds! / tested.seconds!).toBeCloseTo(10 ** 0.2, 6);
    const bare = await lookUp({ filmId: undefined });
    expect(bare.seconds! / tested.seconds!).toBeCloseTo(10 ** -0.1, 6);
    expect((await lookUp({ filmId: ids["strange"] })).warnings.map((warning) => warning.code)).toContain(
      "film-base-missing",
    );
  });

  it("when the distance is another, carries the time by the lamp's shape, and refuses beyond twice", async () => {
    await saveTest();
    const near = await lookUp();
    const far = await lookUp({ distanceMm: 200 });
    expect(far.source).toBe("transferred");
    // 60 x 60 panel: 0.8310285 at 15, 0.7352026 at 20 (reference table).
    expect(far.seconds! / near.seconds!).toBeCloseTo(0.8310285 / 0.7352026, 5);
    expect(far.provenance.join(" ")).toMatch(/150 mm to 200 mm/);
    expect(await lookUp({ distanceMm: 301 })).toMatchObject({ source: "unknown", seconds: null });
    expect((await lookUp({ distanceMm: 299 })).source).toBe("transferred");
  });

  it("when a higher share is wanted, gives more time, by the curve's own shape", async () => {
    await saveTest();
    const [usual, deep] = [await lookUp(), await lookUp({ share: 0.95 })];
    // A logistic of rate 4: from 90 % to 95 % of its height are (log 19 - log 9) / 4.
    expect(Math.log10(deep.seconds! / usual.seconds!)).toBeCloseTo((Math.log(19) - Math.log(9)) / 4, 1);
    expect(deep.targetShare).toBe(0.95);
  });

  it("when only its parts were tested, predicts with a wider range and says so", async () => {
    await saveTest({ middle: 2 });
    await saveTest({ middle: 2.15, supportId: ids["cotton"] });
    await saveTest({ middle: 2.5, lampId: ids["other"] });
    const answer = await lookUp({ lampId: ids["other"], supportId: ids["cotton"] });
    expect(answer.source).toBe("predicted");
    expect(answer.provenance[0]).toBe("Predicted, not tested: no test was made of just this combination.");
    expect(answer.lowerSeconds!).toBeLessThan(trueSeconds(2.65, 0.1));
    expect(answer.upperSeconds!).toBeGreaterThan(trueSeconds(2.65, 0.1));
    expect(answer.upperSeconds! / answer.lowerSeconds!).toBeGreaterThan(1.5);
  });

  it("when the only test was too short, says so", async () => {
    await saveTest({ middle: 2.6, exposureSeconds: 150 });
    const answer = await lookUp();
    expect(answer.seconds).toBeNull();
    expect(answer.provenance.join(" ")).toContain("too short");
  });

  it("when the lamp is the sun, warns that it changes and never predicts", async () => {
    await saveTest();
    expect(await lookUp({ lampId: ids["sun"] })).toMatchObject({
      source: "unknown",
      warnings: [{ code: "sun-changes" }],
    });
  });

  it.each([
    [{ lampId: "nobody" }, "lampId"],
    [{ filmId: "nobody" }, "filmId"],
    [{ share: 1.5 }, "share"],
    [{ share: "much" }, "share"],
    [{ distanceMm: -5 }, "distanceMm"],
    [{ coatingId: "" }, "coatingId"],
  ])("when asked with %j, answers 400 and names the field", async (query, field) => {
    const answer = await request(app)
      .get("/api/exposures")
      .query({ lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"], ...query })
      .expect(400);
    expect(answer.body.field).toBe(field);
  });
});

describe("GET /studio/boxes/:id beside the lookup", () => {
  it("when a combination was tested three times, shows and prints by the time of all three", async () => {
    await saveTest({ seed: 1 });
    await saveTest({ seed: 2 });
    const newest = await saveTest({ seed: 3, middle: 2.1 });
    const answer = await lookUp();
    const page = await request(app).get(`/studio/boxes/${ids["lamp"]}`).expect(200);
    expect(page.text).toContain(`"timer-time">${formatDuration(answer.seconds!)}</strong>`);
    const { lowerSeconds, upperSeconds } = answer.nextPrint!;
    expect(page.text).toContain(`${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)}`);
    expect(page.text).toContain(`advisedSeconds=${answer.seconds}`);
    expect(page.text).toContain("3 tests taken together");
    expect(page.text).toContain("Control chart");
    const { exposure } = (await request(app).get(`/api/tests/${newest}`)).body as { exposure: { seconds: number } };
    expect(page.text).not.toContain(`"timer-time">${formatDuration(exposure.seconds)}</strong>`);
  });

  it("when the lookup finds that the tests contradict each other, says so too, and not that they agree", async () => {
    for (const middle of [2, 2.35, 2.05, 2.4]) await saveTest({ middle });
    expect((await lookUp()).warnings.map((warning) => warning.code)).toContain("tests-disagree");
    const page = await request(app).get(`/studio/boxes/${ids["lamp"]}`).expect(200);
    expect(page.text).toContain("The tests disagree");
    expect(page.text).toContain(`"timer-time">retest</strong>`);
    expect(page.text).not.toContain("agree with each other");
    expect((await request(app).get("/studio")).text).toContain("The tests disagree");
  });

  it("when a test was made at another distance, does not call that a drift", async () => {
    for (const seed of [1, 2, 3]) await saveTest({ seed });
    await saveTest({ seed: 4, middle: 2.3, lampDistanceMm: 200, madeAt: "2020-01-01T10:00:00Z" });
    expect((await request(app).get(`/studio/boxes/${ids["lamp"]}`)).text).toContain("agree with each other");
  });
});
