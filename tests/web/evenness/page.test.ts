import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { InputError } from "#shared/errors.ts";
import type { Evenness } from "#shared/schema/evenness.ts";
import { lampInputSchema } from "#shared/schema/materials.ts";
import { problemFrom } from "#src/web/problem.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const corners = {
  "corners.0.0": "10",
  "corners.0.1": "10",
  "corners.1.0": "90",
  "corners.1.1": "10",
  "corners.2.0": "90",
  "corners.2.1": "60",
  "corners.3.0": "10",
  "corners.3.1": "60",
};

/** The curve of an invented coating. */
const curve = fitCharacteristicCurve({
  channel: "red",
  steps: Array.from({ length: 12 }, (_, i) => ({
    index: i + 1,
    logH: 3 - 0.2 * i,
    sigmaLogH: 0,
    density: 1.3 / (1 + 10 ** (2 * (0.2 * i - 1.2))),
    sigma: 0.01,
    isFlagged: false,
  })),
});

async function studio() {
  const { app, store } = testApp({
    imaging: fakeImaging({
      preview: () => ({
        jpeg: new Uint8Array([0xff, 0xd8, 0xff]),
        fullWidth: 100,
        fullHeight: 70,
        width: 100,
        height: 70,
      }),
    }),
  });
  const materials = saveSampleMaterials(store);
  const pictureId = await savePicture(store);
  const test = store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId)));
  return { app, store, materials, pictureId, test };
}

describe("the evenness page", () => {
  it("when no test has a curve yet, says that one is needed first", async () => {
    const { app, materials } = await studio();
    const { text } = await request(app).get(`/evenness?lampId=${materials.lampId}`).expect(200);
    expect(text).toContain("First make a tablet test");
  });

  it("when the box is chosen already, fills in the size of its record, but never over what was typed", async () => {
    const {
      app,
      store,
      materials: { lampId },
    } = await studio();
    store.lamps.replace(lampId, lampInputSchema.parse({ ...store.lamps.get(lampId), widthMm: 610, heightMm: 420 }));
    const { text } = await request(app).get(`/evenness?kind=tablets&lampId=${lampId}`).expect(200);
    expect(text).toMatch(/name="bedWidthMm"[^>]* value="610"/);
    expect(text).toMatch(/name="bedHeightMm"[^>]* value="420"/);
    expect(text).toContain("the shining area of Box");
    const typed = await request(app)
      .post("/evenness")
      .field("kind", "tablets")
      .field("lampId", lampId)
      .field("bedWidthMm", "300")
      .field("bedHeightMm", "")
      .expect(400);
    expect(typed.text).toMatch(/name="bedWidthMm"[^>]* value="300"/);
    expect(typed.text).toMatch(/name="bedHeightMm"[^>]* value=""/);
  });

  it("when no test or no picture is chosen, says which and asks again", async () => {
    const { app, test } = await studio();
    expect(
      (
        await request(app)
          .post("/evenness")
          .attach("photo", Buffer.from([0xff, 0xd8, 0xff]), "a.jpg")
          .expect(400)
      ).text,
    ).toContain("Choose the test");
    expect((await request(app).post("/evenness").field("testId", test.id).expect(400)).text).toContain(
      "Choose the picture",
    );
  });

  it("when picture and test are chosen, goes on to the corners and carries the rest along", async () => {
    const { app, test } = await studio();
    const { text } = await request(app)
      .post("/evenness")
      .field("testId", test.id)
      .field("bedWidthMm", "400")
      .attach("photo", Buffer.from([0xff, 0xd8, 0xff, 7]), "a.jpg")
      .expect(200);
    expect(text).toContain('name="bedWidthMm" value="400"');
    expect(text).toContain('name="corners.3.1"');
  });

  it("when something is missing, keeps both pictures, and lets the one of the plain sheet be unticked", async () => {
    const { app, store, materials, pictureId } = await studio();
    const test = store.transaction(() => store.tests.save({ ...sampleTestRecord(materials, pictureId), curve }));
    const { text } = await request(app)
      .post("/evenness")
      .attach("photo", Buffer.from([0xff, 0xd8, 0xff, 1]), "a.jpg")
      .attach("evenLight", Buffer.from([0xff, 0xd8, 0xff, 2]), "b.jpg")
      .expect(400);
    expect(text).toContain("Choose the test");
    const [photoId, evenLightId] = ["pictureId", "evenLightId"].map(
      (name) => new RegExp(`name="${name}" value="([^"]+)"`).exec(text)?.[1] ?? "",
    ) as [string, string];
    expect(store.pictures.find(evenLightId)).toBeDefined();
    expect(evenLightId).not.toBe(photoId);
    const again = request(app).post("/evenness").field("testId", test.id).field("pictureId", photoId);
    expect((await again.field("evenLightId", evenLightId).expect(200)).text).toContain(
      `name="evenLightId" value="${evenLightId}"`,
    );
    expect(
      (await request(app).post("/evenness").field("testId", test.id).field("pictureId", photoId).expect(200)).text,
    ).not.toContain("evenLightId");
  });

  it("when the plain sheet's picture cannot be read, says so there and keeps the other", async () => {
    const { app, store } = testApp({
      imaging: fakeImaging({
        preview: (job) => {
          if ((job as { picture: Uint8Array }).picture.at(-1) === 2)
            throw new InputError("not-a-picture", "This is no picture.");
          return { jpeg: new Uint8Array([0xff, 0xd8, 0xff]), fullWidth: 100, fullHeight: 70, width: 100, height: 70 };
        },
      }),
    });
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    const test = store.transaction(() => store.tests.save({ ...sampleTestRecord(materials, pictureId), curve }));
    const { text } = await request(app)
      .post("/evenness")
      .field("testId", test.id)
      .attach("photo", Buffer.from([0xff, 0xd8, 0xff, 1]), "a.jpg")
      .attach("evenLight", Buffer.from([0xff, 0xd8, 0xff, 2]), "b.jpg")
      .expect(problemFrom(new InputError("not-a-picture", "")).status);
    expect(text).toContain('id="even-plain-error">');
    expect(text).toMatch(/name="pictureId" value="[^"]+"/);
  });

  it("when the picture cannot tell, shows the corners again with the reason", async () => {
    const { app, pictureId } = await studio();
    const { text } = await request(app)
      .post("/evenness/map")
      .type("form")
      .send({ ...corners, pictureId, testId: "gone" })
      .expect(400);
    expect(text).toContain("Choose a test of the same coating");
    expect(text).toContain('name="corners.0.0" value="10"');
  });

  it("when a map is kept, its own figures stay with the box, whatever the form says of them", async () => {
    const { app, store, materials } = await studio();
    const { id } = store.evennessMaps.save(madeUpMap);
    await request(app)
      .post("/evenness/keep")
      .type("form")
      .send({ lampId: materials.lampId, mapId: id, rangeStops: "0.01", evenShare: "1" })
      .expect(303);
    expect(store.lamps.get(materials.lampId).evenness).toMatchObject({ rangeStops: 0.42, evenShare: 0.37, mapId: id });
    const page = (await request(app).get(`/studio/boxes/${materials.lampId}`).expect(200)).text;
    for (const kind of ["png", "svg", "csv"]) expect(page).toContain(`href="/evenness/maps/${id}.${kind}"`);
    const svg = await request(app).get(`/evenness/maps/${id}.svg`).expect(200).expect("content-type", /svg/);
    expect(svg.body.toString()).toContain("bed-label");
    const csv = await request(app).get(`/evenness/maps/${id}.csv`).expect(200).expect("content-type", /csv/);
    const map = store.evennessMaps.find(id);
    expect(csv.text.trim().split("\r\n")).toHaveLength(1 + (map?.stops.length ?? 0));
    await request(app).get("/evenness/maps/gone.csv").expect(404);
    expect((await request(app).get(`/studio/boxes/${materials.lampId}`)).text).toContain("0.42 stop");
  });

  it("when the map is no longer kept, says so and changes nothing", async () => {
    const { app, store, materials } = await studio();
    const { text } = await request(app)
      .post("/evenness/keep")
      .set("accept", "text/html")
      .type("form")
      .send({ lampId: materials.lampId, mapId: "gone" })
      .expect(404);
    expect(text).toContain("draw it again");
    expect(store.lamps.get(materials.lampId).evenness ?? null).toBeNull();
  });
});

/** Only the figures that are kept matter here. */
const madeUpMap: Evenness = {
  kind: "exposure",
  columns: 1,
  rows: 1,
  stops: [0],
  percent: [100],
  worstToBestRatio: 1.34,
  worstToBestStops: 0.42,
  sigmaStops: 0.02,
  beyondStops: 0,
  noiseStops: 0.01,
  withinTenthShare: 0.37,
  best: { x: 0.5, y: 0.5 },
  worst: { x: 0, y: 0 },
  workArea: { x: 0, y: 0, width: 1, height: 1, widthMm: null, heightMm: null },
  contours: [],
  places: [],
  lightFrom: "paper-border",
  corners: null,
  reasons: [],
  warnings: [],
};
