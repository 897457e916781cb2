import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;

async function lookUp(query: Record<string, string | undefined> = {}) {
  const { app, ids } = studio;
  const answer = await request(app)
    .get("/api/exposures")
    .query({ lampId: ids["lamp"], supportId: ids["paper"], coatingId: ids["blue"], filmId: ids["film"], ...query })
    .expect(200);
  return answer.body;
}

const patchFilm = (inLights: unknown) =>
  request(studio.app).patch(`/api/films/${studio.ids["film"]}`).send({ inLights });

beforeEach(async () => {
  studio = await lookupStudio();
});

describe("a film's density under each light", () => {
  it("enters the lookup and the saved test's own time under that light, and no other's", async () => {
    const id = await studio.saveTest();
    const otherId = await studio.saveTest({ lampId: studio.ids["other"], seed: 2 });
    const [before, beforeOther] = [await lookUp(), await lookUp({ lampId: studio.ids["other"] })];
    await patchFilm([{ lampId: studio.ids["lamp"], baseDensity: 0.2, baseSigmaDensity: 0.005 }]).expect(200);
    const [after, afterOther] = [await lookUp(), await lookUp({ lampId: studio.ids["other"] })];
    expect(after.filmDensity).toBe(0.2);
    expect(Math.log10(after.seconds / before.seconds)).toBeCloseTo(0.1, 2);
    expect(Math.log10(afterOther.seconds / beforeOther.seconds)).toBeCloseTo(0, 2);
    const test = (await request(studio.app).get(`/api/tests/${id}`)).body;
    expect(test.exposure.filmDensity).toBe(0.2);
    expect((await request(studio.app).get(`/api/tests/${otherId}`)).body.exposure.filmDensity).toBe(0.1);
  });

  it("when it was measured there, narrows the range", async () => {
    await studio.saveTest();
    const wide = await lookUp();
    await patchFilm([{ lampId: studio.ids["lamp"], baseDensity: 0.1, baseSigmaDensity: 0.005 }]).expect(200);
    const narrow = await lookUp();
    const width = ({ lowerSeconds, upperSeconds }: { lowerSeconds: number; upperSeconds: number }): number =>
      Math.log10(upperSeconds / lowerSeconds);
    expect(width(narrow)).toBeLessThan(width(wide));
  });

  it("when a light is named twice, is refused by its field", async () => {
    const twice = { lampId: studio.ids["lamp"], baseDensity: 0.1 };
    const answer = await patchFilm([twice, twice]).expect(400);
    expect(answer.body.field).toBe("inLights");
  });

  it("is shown and typed on the film's page, without script", async () => {
    const { app, ids } = studio;
    const page = `/materials/films/${ids["film"]}`;
    expect((await request(app).get(page).expect(200)).text).toContain("Under each light");
    const typed = { lightId: ids["lamp"], lightBaseDensity: "0,14", lightBaseSigmaDensity: "0.01" };
    await request(app).post(`${page}/lights`).type("form").send(typed).expect(303);
    expect((await request(app).get(page)).text).toContain("0.14 ± 0.02");
    const wrong = await request(app)
      .post(`${page}/lights`)
      .type("form")
      .send({ ...typed, lightBaseDensity: "9" })
      .expect(400);
    expect(wrong.text).toContain('href="#light-base"');
    await request(app).post(`${page}/lights`).type("form").send({ remove: ids["lamp"] }).expect(303);
    expect((await request(app).get(page)).text).not.toContain("0.14 ± 0.02");
  });
});
