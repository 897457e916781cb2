import request from "supertest";
import { describe, expect, it } from "vitest";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import { curveImaging, picturedCurve, shoulderAboveMiddle } from "../../support/curve-imaging.ts";
import { testApp } from "../../support/test-app.ts";

async function studio() {
  const { app } = testApp({ imaging: curveImaging() });
  const make = async (resource: string, name: string): Promise<string> =>
    (await request(app).post(`/api/${resource}`).send({ name }).expect(201)).body.id as string;
  const ids = {
    lampId: await make("lamps", "Box"),
    supportId: await make("supports", "Paper"),
    coatingId: await make("coatings", "Blue"),
  };
  const save = async (middle: number, seed: number, madeAt: string): Promise<string> => {
    const exposureSeconds = 10 ** (middle + shoulderAboveMiddle + 0.8);
    const answer = await request(app)
      .post("/api/tests")
      .attach("photo", picturedCurve({ middle, net: 1.4, exposureSeconds, seed }), "curve.jpg")
      .field(
        "request",
        JSON.stringify({
          tablet: { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 },
          ...ids,
          exposureSeconds,
          madeAt,
        }),
      )
      .expect(201);
    return answer.body.id as string;
  };
  const lookUp = async (): Promise<ExposureAnswer> =>
    (await request(app).get("/api/exposures").query(ids).expect(200)).body as ExposureAnswer;
  return { app, ids, save, lookUp };
}

const stopsOff = (answer: ExposureAnswer, middle: number): number =>
  Math.abs(Math.log2((answer.seconds ?? 0) / 10 ** (middle + shoulderAboveMiddle)));

describe("changes that are noted", () => {
  it("when new tubes are noted, holds to the test made under them; when that is taken back, no longer", async () => {
    const { app, ids, save, lookUp } = await studio();
    for (const seed of [1, 2, 3, 4]) await save(2, seed, `2026-01-0${seed}T12:00:00Z`);
    await save(2.1, 5, "2026-03-01T12:00:00Z");
    const before = stopsOff(await lookUp(), 2.1);
    const path = `/studio/boxes/${ids.lampId}`;
    await request(app)
      .post(`${path}/changes`)
      .type("form")
      .send({ change: `tubes lamp ${ids.lampId}`, at: "2026-02-01" })
      .expect(303);
    const after = stopsOff(await lookUp(), 2.1);
    expect(before).toBeGreaterThan(0.15);
    expect(after).toBeLessThan(before / 2);
    const page = (await request(app).get(path).expect(200)).text;
    expect(page).toContain("New tubes or diodes, from 1 February 2026");
    const remove = /name="remove" value="([^"]+)"/.exec(page)?.[1];
    await request(app).post(`${path}/changes`).type("form").send({ remove }).expect(303);
    expect(stopsOff(await lookUp(), 2.1)).toBeCloseTo(before, 6);
  });

  it.each([
    ["no day", { change: "tubes lamp x", at: "" }],
    ["nothing that changed", { change: "", at: "2026-02-01" }],
  ])("when sent %s, refuses", async (_case, body) => {
    const { app, ids } = await studio();
    await request(app).post(`/studio/boxes/${ids.lampId}/changes`).type("form").send(body).expect(400);
  });
});

describe("a test that is left out", () => {
  it("counts no longer, says why, and counts again when asked", async () => {
    const { app, save, lookUp } = await studio();
    await save(2, 1, "2026-01-01T12:00:00Z");
    const odd = await save(2.4, 2, "2026-01-02T12:00:00Z");
    expect((await lookUp()).warnings.map(({ code }) => code)).toContain("tests-disagree");
    await request(app).post(`/tests/${odd}/counting`).type("form").send({ reason: "wrong tablet" }).expect(303);
    const without = await lookUp();
    expect(without.testIds).not.toContain(odd);
    expect(without.warnings.map(({ code }) => code)).not.toContain("tests-disagree");
    expect((await request(app).get(`/tests/${odd}/delete`)).text).toContain("does not count now: wrong tablet");
    await request(app).post(`/tests/${odd}/counting`).type("form").send({}).expect(303);
    expect((await lookUp()).testIds).toContain(odd);
  });
});
