// What a looked-up time says of all that moves it beside its own tests.
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { lookupStudio, type LookupStudio } from "../../support/studios/lookup-studio.ts";

let studio: LookupStudio;

beforeEach(async () => {
  studio = await lookupStudio();
});

async function provenance(): Promise<string[]> {
  const { lamp, paper, blue, film } = studio.ids;
  const query = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film };
  return (await request(studio.app).get("/api/exposures").query(query).expect(200)).body.provenance as string[];
}

async function judgePrint(exposureSeconds: number, outcome: string): Promise<void> {
  const { lamp, paper, blue, film } = studio.ids;
  const body = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film, exposureSeconds };
  const print = await request(studio.app).post("/api/prints").send(body).expect(201);
  await request(studio.app).patch(`/api/prints/${print.body.id}`).send({ outcome }).expect(200);
}

async function noteNewTubes(on: string, status = 303): Promise<string> {
  const { lamp } = studio.ids;
  const body = { change: `tubes lamp ${lamp}`, at: on };
  return (await request(studio.app).post(`/studio/boxes/${lamp}/changes`).type("form").send(body).expect(status)).text;
}

describe("what the next test would leave of a range", () => {
  it("counts from the half range that stands above it", async () => {
    await studio.saveTest({ seed: 1 });
    const { lamp, paper, blue, film } = studio.ids;
    const query = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film };
    const { lowerSeconds, upperSeconds } = (await request(studio.app).get("/api/exposures").query(query)).body as {
      lowerSeconds: number;
      upperSeconds: number;
    };
    const { text } = await request(studio.app).get("/exposures").query(query).expect(200);
    const half = (Math.log2(upperSeconds / lowerSeconds) / 2).toFixed(2);
    expect(text.replace(/<[^>]+>/g, "")).toContain(`This time is known to ± ${half} stop`);
  });
});

describe("where a time comes from", () => {
  it("when its own tests alone make it, speaks of nothing else", async () => {
    await studio.saveTest({ seed: 1 });
    await studio.saveTest({ seed: 2 });
    expect(await provenance()).toEqual([expect.stringContaining("From 2 tests")]);
  });

  it("when prints by its time came out too light, says how many, and what the tests alone would say", async () => {
    await studio.saveTest({ seed: 1 });
    const before = await provenance();
    for (let print = 0; print < 4; print++) await judgePrint(440, "too-light");
    await judgePrint(900, "right");
    const after = (await provenance()).filter((sentence) => !before.includes(sentence));
    expect(after).toEqual([
      "Logged prints of it count too: 4 too light, 1 right.",
      expect.stringMatching(/^That test by itself says 7 min \d+ s\. Logged prints/),
    ]);
  });

  it("when new tubes were noted, says which tests are since then, or that one is wanted", async () => {
    await studio.saveTest({ seed: 1, madeAt: "2026-05-01T10:00:00Z" });
    await noteNewTubes("2026-05-10");
    expect(await provenance()).toContainEqual(
      expect.stringContaining("A change of the light was noted for 10 May 2026: no test was made since"),
    );
    await studio.saveTest({ seed: 2, middle: 2.1, madeAt: "2026-05-11T10:00:00Z" });
    expect(await provenance()).toContainEqual(
      "A change of the light was noted for 10 May 2026: the time holds to the one test since; 1 older one helps " +
        "where it can.",
    );
  });

  it("when new tubes are noted for a day to come, still asks what changed before", async () => {
    for (const day of [1, 2, 3, 4, 5, 6]) await studio.saveTest({ seed: day, madeAt: `2026-05-0${day}T10:00:00Z` });
    await studio.saveTest({ seed: 9, middle: 2.2, madeAt: "2026-06-01T10:00:00Z" });
    const { lamp, paper, blue, film } = studio.ids;
    const query = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film };
    const codes = async (): Promise<string[]> =>
      ((await request(studio.app).get("/api/exposures").query(query)).body.warnings as { code: string }[]).map(
        ({ code }) => code,
      );
    expect(await codes()).toContain("newest-test-odd");
    const soon = new Date(Date.now() + 30 * 24 * 3600 * 1000).toISOString().slice(0, 10);
    await noteNewTubes(soon);
    expect(await codes()).toContain("newest-test-odd");
    // A slip in the year is not taken at all.
    expect(await noteNewTubes("2999-05-01", 400)).toContain("look for a slip in the year");
  });
});
