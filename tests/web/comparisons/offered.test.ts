import request from "supertest";
import { describe, expect, it } from "vitest";
import type { TestRequest } from "#shared/schema/test.ts";
import { openStore } from "#src/store/store.ts";
import { offeredTests } from "#src/web/tests/card.ts";
import { appOf } from "../../support/studios/filled-store.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const levels: TestRequest["tablet"] = { kind: "levels", levels: [0, 85, 170, 255] };

/** A studio whose tests for time are older than `newerLevels` tests of grey levels. */
async function studioOf(forTime: number, newerLevels: number) {
  const store = openStore(temporaryFolder());
  const materials = saveSampleMaterials(store);
  const pictureId = await savePicture(store);
  const save = (n: number, changes: Partial<TestRequest>): string => {
    const madeAt = new Date(Date.UTC(2026, 0, 1) + n * 60_000).toISOString();
    return store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId, { madeAt, ...changes }))).id;
  };
  const ids = Array.from({ length: forTime }, (_, n) => save(n, { name: `Strip number ${n}` }));
  for (let n = 0; n < newerLevels; n++) save(forTime + n, { tablet: levels, name: `Levels ${n}` });
  return { app: appOf(store), ids };
}

const offeredIn = (page: string): number => page.split('type="checkbox" name="testId"').length - 1;

describe("the tests that the page of comparisons offers", () => {
  it("when newer tests are for tones, are still all that tell a time", async () => {
    const { app } = await studioOf(3, offeredTests + 10);
    const page = (await request(app).get("/comparisons").expect(200)).text;
    expect(offeredIn(page)).toBe(3);
    expect(page).not.toContain("are offered");
  });

  it("when there are more than are offered, are the newest, and the page says so", async () => {
    const { app, ids } = await studioOf(offeredTests + 5, 1);
    const page = (await request(app).get("/comparisons").expect(200)).text;
    expect(offeredIn(page)).toBe(offeredTests);
    expect(page).toContain(`only the newest ${offeredTests} are offered`);
    expect(page).not.toContain(ids[0]);
    expect(page).toContain(ids.at(-1));
  });

  it("when an older one is searched for, hold it, and what was ticked stays", async () => {
    const { app, ids } = await studioOf(offeredTests + 5, 1);
    const page = (await request(app).get("/comparisons").query({ words: "number 0", testId: ids[3] }).expect(200)).text;
    expect(offeredIn(page)).toBe(2);
    expect(page).toMatch(new RegExp(`value="${ids[3]}" checked`));
    expect(page).toContain(ids[0]);
  });

  it("when nothing answers to the words, say so", async () => {
    const { app } = await studioOf(2, 0);
    const page = (await request(app).get("/comparisons").query({ words: "heron" }).expect(200)).text;
    expect(offeredIn(page)).toBe(0);
    expect(page).toContain("answers to “heron”");
  });
});
