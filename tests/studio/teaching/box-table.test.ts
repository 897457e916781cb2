import request from "supertest";
import { describe, expect, it } from "vitest";
import type { BoxTable } from "#shared/schema/workshop/boxes.ts";
import { boxTable } from "#src/studio/teaching/box-table.ts";
import { lookupStudio } from "../../support/studios/lookup-studio.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

async function twoBoxes() {
  const studio = await lookupStudio();
  await studio.saveTest({ middle: 2 });
  await studio.saveTest({ middle: 2.3, lampId: studio.ids["other"] });
  const ask = async (more: object = {}): Promise<BoxTable> =>
    (
      await request(studio.app)
        .get("/api/boxes")
        .query({ supportId: studio.ids["paper"], coatingId: studio.ids["blue"], ...more })
        .expect(200)
    ).body as BoxTable;
  return { ...studio, ask };
}

describe("boxTable", () => {
  it("holds each box against the first: twice the time is a factor of two, and the sun is no box", async () => {
    const { ask, ids } = await twoBoxes();
    const { boxes, referenceLampId } = await ask({ referenceLampId: ids["lamp"] });
    expect(boxes.map(({ name }) => name)).toEqual(["Box", "Old box"]);
    expect(referenceLampId).toBe(ids["lamp"]);
    expect(boxes[0]?.factor).toEqual({ value: 1, lower: 1, upper: 1 });
    const { factor } = boxes[1]!;
    // Curves shifted by 0.3 in log H: ten to that power.
    expect(factor!.value).toBeGreaterThan(1.9);
    expect(factor!.value).toBeLessThan(2.1);
    expect(factor!.lower).toBeLessThan(2);
    expect(factor!.upper).toBeGreaterThan(2);
  });

  it("on its page says each time and range as the box's own page does, to the depth of the coating", async () => {
    const { app, ids, ask } = await twoBoxes();
    await request(app).patch(`/api/coatings/${ids["blue"]}`).send({ targetShare: 0.8 }).expect(200);
    const query = { supportId: ids["paper"], coatingId: ids["blue"], filmId: ids["film"] };
    const { text } = await request(app).get("/boxes").query(query).expect(200);
    const box = (await request(app).get(`/studio/boxes/${ids["lamp"]}`)).text;
    const [, time, range] =
      /timer-time">([\d:]+)<\/strong>\s*<p class="small">([^<]+)</.exec(box.replaceAll("\n", " ")) ?? [];
    expect(text).toContain(`<strong>${time}</strong><br><span class="small">${range}</span>`);
    const [usual, lighter] = [await ask(), await ask({ share: 0.8 })];
    expect(lighter.targetShare).toBe(0.8);
    expect(lighter.boxes[0]!.seconds!).toBeLessThan(usual.boxes[0]!.seconds!);
    expect(usual.boxes[0]!.nextPrint!.upperSeconds).toBeGreaterThan(usual.boxes[0]!.upperSeconds!);
  });

  it("turned round gives the inverse", async () => {
    const { ask, ids } = await twoBoxes();
    const over = (await ask({ referenceLampId: ids["lamp"] })).boxes[1]!.factor!;
    const under = (await ask({ referenceLampId: ids["other"] })).boxes[0]!.factor!;
    expect(under.value * over.value).toBeCloseTo(1, 4);
    expect(under.lower * over.upper).toBeCloseTo(1, 4);
  });

  it("where nothing was tested says no time and no factor", () => {
    const { store } = testApp();
    const { supportId, coatingId, lampId } = saveSampleMaterials(store);
    expect(boxTable({ store }, { supportId, coatingId })).toMatchObject({
      referenceLampId: null,
      boxes: [{ lampId, seconds: null, factor: null }],
    });
  });
});
