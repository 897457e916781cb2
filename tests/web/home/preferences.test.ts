// What a device chose is how its pages are written, and nobody else's; the API is not touched.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const chosen = "writing=inches.comma.month-day-year";

async function studio() {
  const { app, store } = testApp();
  const materials = saveSampleMaterials(store);
  const picture = await savePicture(store);
  const test = store.transaction(() =>
    store.tests.save(
      sampleTestRecord(materials, picture, { name: "Rag", madeAt: "2026-05-31T10:00:00Z", lampDistanceMm: 152.4 }),
    ),
  );
  return { app, store, materials, test };
}

describe("inches, decimals and dates", () => {
  it("are kept in the device's cookie, one part at a time too", async () => {
    const { app } = await studio();
    const first = await request(app)
      .post("/preferences")
      .type("form")
      .send({ lengths: "inches", back: "/preferences" });
    expect(first.headers["set-cookie"]?.[0]).toContain("writing=inches.point.words");
    const then = await request(app)
      .post("/preferences")
      .set("Cookie", "writing=inches.point.words")
      .type("form")
      .send({ days: "iso" });
    expect(then.headers["set-cookie"]?.[0]).toContain("writing=inches.point.iso");
    const theme = await request(app).post("/preferences").type("form").send({ theme: "dark" });
    expect(String(theme.headers["set-cookie"])).not.toContain("writing");
  });

  it("are shown on a page of their own, with an example", async () => {
    const { app } = await studio();
    expect((await request(app).get("/preferences").expect(200)).text).toContain("31 May 2026 · 203 mm · density 1.37");
    const page = await request(app).get("/preferences?saved=yes").set("Cookie", chosen).expect(200);
    expect(page.text).toContain("05/31/2026 · 8 in · density 1,37");
    expect(page.text).toContain('data-writing="inches.comma.month-day-year"');
  });

  it("write the pages of a test, and leave them as they were for everybody else", async () => {
    const { app, test } = await studio();
    const page = (await request(app).get(`/tests/${test.id}`).set("Cookie", chosen).expect(200)).text;
    expect(page).toContain("05/31/2026");
    expect(page).toContain("6 in");
    expect(page).toContain("1,32");
    const plain = (await request(app).get(`/tests/${test.id}`).expect(200)).text;
    expect(plain).toContain("31 May 2026");
    expect(plain).toContain("152 mm");
    expect(plain).toContain("1.32");
  });

  it("change what a length's field asks, and nothing that is kept", async () => {
    const { app, store, materials } = await studio();
    const box = (await request(app).get(`/studio/boxes/${materials.lampId}`).set("Cookie", chosen).expect(200)).text;
    expect(box).toContain('name="distanceInches"');
    await request(app)
      .post(`/studio/boxes/${materials.lampId}`)
      .set("Cookie", chosen)
      .type("form")
      .send({ kind: "tubes", distanceInches: "6,5", widthInches: "24", notes: "" })
      .expect(303);
    expect(store.lamps.get(materials.lampId)).toMatchObject({ distanceMm: 165.1, widthMm: 609.6 });
    const lookup = await request(app)
      .get("/exposures")
      .set("Cookie", chosen)
      .query({ ...materials, distanceInches: "8" })
      .expect(200);
    expect(lookup.text).toContain('name="distanceInches"');
    expect(lookup.text).toContain('value="8"');
  });

  it("do not reach the API", async () => {
    const { app, test } = await studio();
    const asked = await request(app).get(`/api/tests/${test.id}`).set("Cookie", chosen).expect(200);
    const plain = await request(app).get(`/api/tests/${test.id}`).expect(200);
    expect(asked.body).toEqual(plain.body);
  });
});
