// What changed, and tests that do not count, noted by a program: the lookup says the same as after a press on a page.
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;

beforeEach(async () => {
  studio = await lookupStudio();
});

async function provenance(): Promise<string> {
  const { lamp, paper, blue, film } = studio.ids;
  const query = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film };
  return ((await request(studio.app).get("/api/exposures").query(query)).body.provenance as string[]).join(" ");
}

describe("/api/changes", () => {
  it("notes new tubes as the box's page does, and takes them back", async () => {
    await studio.saveTest({ madeAt: "2026-05-01T10:00:00Z" });
    const tubes = { kind: "tubes", scope: "lamp", scopeId: studio.ids["lamp"], at: "2026-05-10" };
    const noted = await request(studio.app).post("/api/changes").send(tubes).expect(201);
    expect(await provenance()).toContain("A change of the light was noted for 10 May 2026");
    expect((await request(studio.app).get(`/studio/boxes/${studio.ids["lamp"]}`)).text).toContain("10 May 2026");
    await request(studio.app).delete(`/api/changes/${noted.body.id}`).expect(204);
    expect(await provenance()).not.toContain("was noted for");
    expect((await request(studio.app).get("/api/changes")).body).toEqual([]);
  });

  it.each([
    [{ scopeId: "nobody" }, "scopeId"],
    [{ at: "2999-01-01" }, "at"],
    [{ kind: "weather" }, "kind"],
  ])("when sent %j, answers 400 and names the field", async (wrong, field) => {
    const tubes = { kind: "tubes", scope: "lamp", scopeId: studio.ids["lamp"], at: "2026-05-10", ...wrong };
    expect((await request(studio.app).post("/api/changes").send(tubes).expect(400)).body.field).toBe(field);
  });
});

describe("/api/tests/{id}/counting", () => {
  it("leaves a test out with a reason, and counts it again", async () => {
    const id = await studio.saveTest();
    const counting = (leftOutReason: string | null, status = 200) =>
      request(studio.app).put(`/api/tests/${id}/counting`).send({ leftOutReason }).expect(status);
    await counting("wet hands");
    expect(await provenance()).not.toContain("From the test");
    expect((await request(studio.app).get("/api/left-out")).body).toEqual([{ testId: id, leftOutReason: "wet hands" }]);
    await counting("", 400);
    await counting(null);
    expect(await provenance()).toContain("From the test");
  });

  it("of a test that is not there, answers 404", async () => {
    await request(studio.app).put("/api/tests/nobody/counting").send({ leftOutReason: "gone" }).expect(404);
  });
});
