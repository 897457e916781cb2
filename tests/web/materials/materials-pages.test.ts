// The pages of materials over plain HTTP, as a browser without script sends and gets them.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { sampleTestRecord, saveSampleMaterials, savePicture } from "../../support/studios/sample-records.ts";
import { appWith } from "../../support/studios/typed-test.ts";

describe("materials", () => {
  it("are added, changed, kept while in use, and archived", async () => {
    const { app, store } = appWith();
    const { headers } = await request(app)
      .post("/materials/films")
      .type("form")
      .send({ name: "Clear polyester", baseDensity: "0,08", device: "Desk printer" })
      .expect(303);
    const [film] = store.films.list();
    expect(headers.location).toBe(`/materials/films/${film?.id}`);
    expect(film).toMatchObject({ name: "Clear polyester", baseDensity: 0.08, device: "Desk printer" });
    const { text } = await request(app)
      .post(`/materials/films/${film?.id}`)
      .type("form")
      .set("Accept", "text/html")
      .send({ name: "", baseDensity: "9" })
      .expect(400);
    expect(text).toContain("field-error");
    await request(app)
      .post(`/materials/films/${film?.id}`)
      .type("form")
      .send({ name: "Clear polyester", archived: "yes" })
      .expect(303);
    expect(store.films.list()).toEqual([]);
    await request(app).post(`/materials/films/${film?.id}/delete`).expect(303);
    expect(store.films.list({ archived: true })).toEqual([]);
  });

  it("that a test uses are not deleted", async () => {
    const { app, store } = appWith();
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId)));
    const { text } = await request(app)
      .post(`/materials/lamps/${materials.lampId}/delete`)
      .set("Accept", "text/html")
      .expect(409);
    expect(text).toContain("Archive it instead");
    expect(store.lamps.list()).toHaveLength(1);
  });
});
