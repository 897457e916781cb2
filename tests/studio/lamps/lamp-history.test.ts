// What the tests of a lamp tell of it, against the inverse square of a point of light.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { lampHistory } from "#src/studio/lamps/lamp-history.ts";
import { savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { saveTablet } from "../../support/studios/saved-tablets.ts";
import { testApp } from "../../support/test-app.ts";

describe("lampHistory", () => {
  it("when tests at distances far apart keep the dose, finds an exponent of one; without a size, none", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const picture = await savePicture(store);
    const point = store.lamps.create({ name: "Lamp on a stand", notes: "", kind: "point", archived: false });
    const here = { ...materials, lampId: point.id };
    // Inverse square of a point: twice the distance, four times the seconds (log10 4 = 0.602).
    [
      [200, 0],
      [400, Math.log10(4)],
      [300, Math.log10(2.25)],
    ].forEach(([distanceMm = 0, shift = 0]) => saveTablet(store, here, picture, { distanceMm, shift }));
    expect(lampHistory({ store }, point.id).reciprocity?.exponent).toBeCloseTo(1, 3);
    const { distance } = lampHistory({ store }, point.id);
    expect(Math.abs(distance?.fit.offsetMm ?? Number.NaN)).toBeLessThan(2);
    expect(distance?.fit.worstMissPercent).toBeLessThan(1);
    const page = await request(app).get(`/materials/lamps/${point.id}`).expect(200);
    expect(page.text).toContain("400 mm takes 4.0 times as long as 200 mm");
    expect(lampHistory({ store }, materials.lampId)).toMatchObject({ reciprocity: null, distance: null });
  });
});
