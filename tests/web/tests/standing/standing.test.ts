// A test's own page beside what the other tests of its combination say.
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { formatDuration } from "#shared/format/duration.ts";
import type { ExposureAnswer } from "#shared/schema/exposures.ts";
import { standingAmongTests } from "#src/studio/tests/standing-among-tests.ts";
import { savePicture, saveSampleMaterials } from "../../../support/studios/sample-records.ts";
import { saveTablet } from "../../../support/studios/saved-tablets.ts";
import { lookupStudio, type LookupStudio } from "../../../support/studios/lookup-studio.ts";
import { testApp } from "../../../support/test-app.ts";

let studio: LookupStudio;

beforeEach(async () => {
  studio = await lookupStudio();
});

const pageOf = async (id: string, part = ""): Promise<string> =>
  (await request(studio.app).get(`/tests/${id}${part}`).expect(200)).text;

async function lookUp(): Promise<ExposureAnswer> {
  const { lamp, paper, blue, film } = studio.ids;
  const query = { lampId: lamp, supportId: paper, coatingId: blue, filmId: film };
  return (await request(studio.app).get("/api/exposures").query(query).expect(200)).body as ExposureAnswer;
}

describe("the page of a test", () => {
  it("when it is the only one of its combination, speaks of no other and prints by its own time", async () => {
    const id = await studio.saveTest();
    const page = await pageOf(id);
    expect(page).toContain("Print now</a>");
    expect(page).not.toContain("tests together");
    expect(page).not.toContain("Left out");
  });

  it("when another test contradicts it, says so above all else and leads to no print", async () => {
    const first = await studio.saveTest({ middle: 2 });
    const second = await studio.saveTest({ middle: 2.5 });
    for (const id of [first, second])
      for (const part of ["", "/large"]) {
        const page = await pageOf(id, part);
        expect(page).toContain("Tests disagree: retest");
        expect(page).not.toContain("Print now");
      }
  });

  it("when tests together say another time, tells it as the lookup does and prints by it", async () => {
    const first = await studio.saveTest({ seed: 1, madeAt: "2026-05-01T10:00:00Z" });
    await studio.saveTest({ seed: 2, middle: 2.1, madeAt: "2026-05-02T10:00:00Z" });
    const answer = await lookUp();
    const page = await pageOf(first);
    expect(page).toContain(`By all 2 tests together, this combination takes ${formatDuration(answer.seconds!)}`);
    expect(page).toContain(`Print now, ${formatDuration(answer.seconds!)}</a>`);
    expect(page).toContain(`advisedSeconds=${answer.seconds}`);
  });

  it("when it stands apart from all before it, asks what changed and leads to where it is answered", async () => {
    for (const day of [1, 2, 3, 4, 5, 6]) await studio.saveTest({ seed: day, madeAt: `2026-05-0${day}T10:00:00Z` });
    const odd = await studio.saveTest({ seed: 9, middle: 2.2, madeAt: "2026-06-01T10:00:00Z" });
    expect((await lookUp()).warnings.map(({ code }) => code)).toContain("newest-test-odd");
    const page = await pageOf(odd);
    expect(page).toContain("What changed: tubes, bottle");
    expect(page).toContain(`/studio/boxes/${studio.ids["lamp"]}#changed`);
    expect((await request(studio.app).get(`/studio/boxes/${studio.ids["lamp"]}`)).text).toContain('id="changed"');
  });

  it("when it was left out, says so with the reason, on its page and in the list, and prints nothing", async () => {
    const id = await studio.saveTest();
    await request(studio.app).post(`/tests/${id}/counting`).type("form").send({ reason: "wet hands" }).expect(303);
    const page = await pageOf(id);
    expect(page).toContain("It does not count in the times: wet hands.");
    expect(page).not.toContain("Print now");
    expect((await request(studio.app).get("/tests")).text).toContain("left out of the times");
  });

  it("when its picture was sent before, names that test on both pages", async () => {
    const first = await studio.saveTest({ seed: 4, madeAt: "2026-05-01T10:00:00Z" });
    const again = await studio.saveTest({ seed: 4, madeAt: "2026-05-03T10:00:00Z" });
    expect(await pageOf(again)).toContain("The same picture stands in the test of 1 May 2026 too");
    expect(await pageOf(first)).toContain("The same picture stands in the test of 3 May 2026 too");
  });
});

describe("standingAmongTests", () => {
  it("of a test that is one of two, answers with both, and with no reason to leave it out", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const ids: string[] = [];
    for (const shift of [0, 0.02])
      ids.push(saveTablet(store, materials, await savePicture(store, `picture ${shift}`), { shift }));
    const standing = standingAmongTests({ store }, store.tests.get(ids[0]!));
    expect(standing).toMatchObject({ leftOutReason: null, samePicture: null, answer: { source: "pooled" } });
    expect(standing.answer?.testIds.toSorted()).toEqual(ids.toSorted());
  });
});
