// How deep a coating is printed is kept with it: forms, the lookup and the box's page go by it, the API does not.
import supertest from "supertest";
import { describe, expect, it } from "vitest";
import { depthOfCoating } from "#src/studio/look-up-exposure.ts";
import { freshTestForm, withOwnDepth } from "#src/web/tests/form.ts";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });

describe("the depth that a studio keeps for a coating", () => {
  it("is typed in per cent on the coating's page and kept as a share", async () => {
    const { app, store } = testApp();
    const { coatingId } = saveSampleMaterials(store);
    const api = supertest(app);
    await api
      .post(`/materials/coatings/${coatingId}`)
      .type("form")
      .send({ name: "Blue", targetShare: "95" })
      .expect(303);
    expect(store.coatings.get(coatingId).targetShare).toBeCloseTo(0.95, 12);
    expect((await api.get(`/materials/coatings/${coatingId}`)).text).toMatch(/name="targetShare"[^>]*value="95"/);
  });

  it("stands for the test's where its form leaves that open, and yields to a typed one", () => {
    const depthOf = () => 0.95;
    const asked = { coatingId: "blue", targetShare: 0.9 };
    expect(withOwnDepth(freshTestForm, asked, depthOf).targetShare).toBe(0.95);
    expect(withOwnDepth({ ...freshTestForm, targetSharePercent: "90" }, asked, depthOf).targetShare).toBe(0.9);
  });

  it("is the lookup page's depth, while the API's default stays 0.9", async () => {
    const { app, store } = testApp();
    const materials = saveSampleMaterials(store);
    const api = supertest(app);
    expect(depthOfCoating(store, materials.coatingId)).toBe(0.9);
    await api.patch(`/api/coatings/${materials.coatingId}`).send({ targetShare: 0.95 }).expect(200);
    expect(depthOfCoating(store, materials.coatingId)).toBe(0.95);
    const record = sampleTestRecord(materials, await savePicture(store), { tablet: tablet21, exposureSeconds: 1200 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density, noise: () => 0 });
    const { id } = store.transaction(() => store.tests.save({ ...record, reading }));
    await api.patch(`/api/tests/${id}`).send({ notes: "assessed" }).expect(200);
    const { body } = await api.get("/api/exposures").query(materials).expect(200);
    expect(body.targetShare).toBe(0.9);
    const page = await api.get("/exposures").query(materials).set("Accept", "text/html").expect(200);
    expect(page.text).toContain("For 95 % of the deepest blue");
    const box = await api.get(`/studio/boxes/${materials.lampId}`).set("Accept", "text/html").expect(200);
    expect(box.text).toContain("to 95 % of the deepest blue");
  });
});
