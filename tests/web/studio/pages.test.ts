import request from "supertest";
import { describe, expect, it } from "vitest";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

async function studio() {
  const { app, store } = testApp({ imaging: fakeImaging() });
  const materials = saveSampleMaterials(store);
  const picture = await savePicture(store);
  const saveTest = (madeAt: string) =>
    store.transaction(() => store.tests.save(sampleTestRecord(materials, picture, { madeAt })));
  return { app, store, materials, saveTest };
}

describe("the pages of the studio", () => {
  it("when a box is begun, leads through its commissioning, and keeps what was done", async () => {
    const { app, store } = await studio();
    const made = await request(app).post("/studio/boxes").type("form").send({ name: "Box by the door" }).expect(303);
    const path = made.headers["location"] ?? "";
    const fresh = (await request(app).get(path).expect(200)).text;
    expect(fresh).toContain("Describe it");
    expect(fresh).toContain("Four steps");
    expect(fresh).toContain("Say in step 1 whether the distance can be changed");
    expect(fresh).not.toContain('<span class="tag">done</span>');
    expect((await request(app).get("/studio").expect(200)).text).toContain("0 of 4 steps");
    await request(app)
      .post(path)
      .type("form")
      .send({ kind: "tubes", distanceMm: "150", distanceVaries: "yes", notes: "six tubes" })
      .expect(303);
    const lamp = store.lamps.get(path.split("/").at(-1) ?? "");
    expect(lamp).toMatchObject({
      kind: "tubes",
      distanceMm: 150,
      distanceVaries: true,
      notes: "six tubes",
      widthMm: null,
    });
    expect((await request(app).get("/studio").expect(200)).text).toContain("1 of 4 steps");
    await request(app)
      .post(path)
      .type("form")
      .send({ kind: "tubes", distanceMm: "150", notes: "six tubes" })
      .expect(303);
    expect((await request(app).get("/studio").expect(200)).text).toContain("2 of 4 steps");
    expect((await request(app).get(path)).text).toContain("The distance of this box does not change");
  });

  it("when the day for a box's next test is past, says overdue, and prints its lid card on one page", async () => {
    const { app, materials, saveTest } = await studio();
    saveTest("2026-05-01T10:00:00Z");
    const page = await request(app).get(`/studio/boxes/${materials.lampId}`).expect(200);
    expect(page.text).toContain("was due by 1 November 2026");
    expect(page.text).toContain("overdue");
    expect((await request(app).get("/studio")).text).toContain("overdue for a new test, since 1 November 2026");
    // The sample has no curve, so the lookup has nothing to pool.
    expect(page.text).toContain("newest test alone");
    const card = await request(app).get(`/studio/boxes/${materials.lampId}/card.pdf`).expect(200);
    expect(card.headers["content-type"]).toContain("application/pdf");
    const pdf = (card.body as Buffer).toString("latin1");
    expect(pdf.startsWith("%PDF-")).toBe(true);
    expect(pdf.match(/\/Type \/Page\b/g)).toHaveLength(1);
  });

  it("when the page was opened by an address of this machine alone, says so beside the lid card", async () => {
    const { app, materials } = await studio();
    for (const path of ["/studio", `/studio/boxes/${materials.lampId}`]) {
      for (const host of ["127.0.0.1:8080", "localhost:8080", "[::1]:8080"]) {
        expect((await request(app).get(path).set("Host", host)).text).toContain(
          `The code on the card will open http://${host}`,
        );
      }
      expect((await request(app).get(path).set("Host", "192.168.1.20:8080")).text).not.toContain(
        "The code on the card will open",
      );
    }
  });

  it("when a recipe is kept, scales it to another volume and uses its procedure for the next print", async () => {
    const { app, store, materials } = await studio();
    const path = `/studio/coatings/${materials.coatingId}`;
    await request(app)
      .post(path)
      .type("form")
      .send({
        volumeMl: "100",
        line0Amount: "12.5",
        line0Unit: "g",
        line0Name: "citrate",
        step0Name: "Exposure",
        step0Kind: "exposure",
        step1Name: "Wash",
        step1Kind: "wash",
        step1Time: "7:30",
      })
      .expect(303);
    expect(store.coatings.get(materials.coatingId).procedure).toMatchObject([
      { name: "Exposure", seconds: null },
      { name: "Wash", seconds: 450 },
    ]);
    expect((await request(app).get(`${path}?wantedMl=40`).expect(200)).text).toContain("5 g");
    const refused = await request(app)
      .post(path)
      .type("form")
      .send({ step0Name: "Wash", step0Kind: "wash", step0Time: "soon" })
      .expect(400);
    expect(refused.text).toContain("One thing needs another look");
    expect(refused.text).toContain('href="#step0Name"');
  });

  it("when a bottle is put on the shelf, shows its age, and takes it off when used up", async () => {
    const { app, store } = await studio();
    await request(app)
      .post("/studio/shelf")
      .type("form")
      .send({ name: "Citrate stock", madeOn: "2020-01-01" })
      .expect(303);
    expect((await request(app).get("/studio/shelf?volumeMl=25").expect(200)).text).toContain(
      "Past its usual keeping time",
    );
    await request(app).post(`/studio/shelf/${store.stocks.list()[0]?.id}/archive`).expect(303);
    expect(store.stocks.list()).toEqual([]);
    await request(app).post("/studio/shelf").type("form").send({ name: "", madeOn: "2020-01-01" }).expect(400);
  });

  it("when a file of another kind is brought in, says so on the page", async () => {
    const { app } = await studio();
    const answer = await request(app)
      .post("/studio/sharing")
      .attach("calibrations", Buffer.from('{"format":"other"}'), "a.json")
      .expect(400);
    expect(answer.text).toContain("not a file of shared calibrations");
  });
});
