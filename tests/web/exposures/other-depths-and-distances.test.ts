// What a lookup once got wrong: tests of another depth, predictions from tests at another distance, and a film whose
// base was measured anew.
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { shoulderAboveMiddle } from "../../support/curve-imaging.ts";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;

beforeEach(async () => {
  studio = await lookupStudio();
});

async function lookUp(changes: Record<string, unknown> = {}) {
  const { ids, app } = studio;
  const query = { lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"], filmId: ids["film"] };
  return (
    await request(app)
      .get("/api/exposures")
      .query({ ...query, ...changes })
      .expect(200)
  ).body;
}

describe("the lookup", () => {
  it("when a test fell short of 99 % only, still has its 90 %, and no time for 99 %", async () => {
    const exposureSeconds = 10 ** (2 + shoulderAboveMiddle + 0.55);
    const id = await studio.saveTest({ middle: 2, exposureSeconds, targetShare: 0.99 });
    const { body: test } = await request(studio.app).get(`/api/tests/${id}`).expect(200);
    expect(test.exposure.verdict).toBe("test-too-short");
    expect(test.exposure.seconds).toBeNull();
    const answer = await lookUp();
    expect(answer.source).toBe("tested");
    expect(Math.abs(Math.log2(answer.seconds / 10 ** (2 + shoulderAboveMiddle + 0.1)))).toBeLessThan(0.25);
    // What the test's own page calls too short, no lookup calls a time.
    expect((await lookUp({ share: 0.99 })).seconds).toBeNull();
  });

  it("when a lamp was tested far from its usual distance, predicts less time for the usual one", async () => {
    const { ids, make, saveTest } = studio;
    await saveTest({ seed: 1 });
    await saveTest({ seed: 2, supportId: ids["cotton"], middle: 2.1 });
    const predicted = async (lampDistanceMm: number): Promise<number> => {
      const lampId = await make("lamps", {
        name: `Panel tested at ${lampDistanceMm}`,
        kind: "led",
        widthMm: 600,
        heightMm: 600,
        distanceMm: 150,
      });
      await saveTest({ lampId, lampDistanceMm, seed: 3 });
      const answer = await lookUp({ lampId, supportId: ids["cotton"] });
      expect(answer.source).toBe("predicted");
      return answer.seconds;
    };
    // View factor of a 600 mm square over its middle, closed form: 0.831 at 150 mm, 0.554 at 300 mm, 1.5 times less.
    const [far, near] = [await predicted(300), await predicted(150)];
    expect(near / far).toBeGreaterThan(1.2);
    expect(near / far).toBeLessThan(1.8);
  });

  it("when a film's base is measured anew, moves page and lookup alike, and sees no drift in it", async () => {
    const { ids, saveTest, app } = studio;
    const id = await saveTest({ seed: 1, madeAt: "2026-05-01T10:00:00Z" });
    const before = (await request(app).get(`/api/tests/${id}`)).body.exposure.seconds;
    await request(app).patch(`/api/films/${ids["film"]}`).send({ baseDensity: 0.2 }).expect(200);
    await saveTest({ seed: 2, madeAt: "2026-05-03T10:00:00Z" });
    const after = (await request(app).get(`/api/tests/${id}`)).body.exposure.seconds;
    expect(after / before).toBeCloseTo(10 ** 0.1, 6);
    const box = await request(app).get(`/studio/boxes/${ids["lamp"]}`).set("Accept", "text/html").expect(200);
    expect(box.text).toContain("agree with each other");
  });
});
