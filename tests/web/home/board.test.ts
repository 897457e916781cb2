// The first page: three doors while nothing is saved, then each combination once with its state.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const page = async (app: Parameters<typeof request>[0]): Promise<string> =>
  (await request(app).get("/").set("Accept", "text/html").expect(200)).text;

describe("the first page", () => {
  it("shows three doors and the demo while nothing is saved", async () => {
    const { app } = testApp();
    const text = await page(app);
    expect(text.match(/class="door"/g)).toHaveLength(3);
    expect(text).toContain('action="/demo"');
    expect(text).not.toContain("board-card");
  });

  it("shows a combination once, however many tests it has", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const madeAt = new Date(Date.now() - 86_400_000).toISOString();
    for (const name of ["one", "two"]) {
      const pictureId = await savePicture(store, name);
      store.tests.save(sampleTestRecord(materials, pictureId, { name, madeAt }));
    }
    const text = await page(app);
    expect(text.match(/class="board-card/g)).toHaveLength(1);
    expect(text).toContain('class="board-card good"');
    expect(text).not.toContain('class="door"');
  });

  it("a combination whose last test is long ago is overdue, in words", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store, "old");
    const madeAt = "2020-01-01T10:00:00Z";
    store.tests.save(sampleTestRecord(materials, pictureId, { madeAt }));
    const text = await page(app);
    expect(text).toContain('class="board-card overdue"');
    expect(text).toContain("overdue: test again");
  });

  it("a combination without a time says so and gives none", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store, "short");
    const record = sampleTestRecord(materials, pictureId, {});
    store.tests.save({ ...record, exposure: { ...record.exposure, seconds: null, verdict: "test-too-short" } });
    const text = await page(app);
    expect(text).toContain('class="board-card no-time"');
    expect(text).not.toContain('class="board-time"');
  });
});
