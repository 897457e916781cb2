// A cloth's page and a strip's fading, as pages without script.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleReading, saveSampleMaterials, saveSampleTest } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

describe("the page of a cloth", () => {
  it("keeps what is known and measured, and reckons what a print takes", async () => {
    const { app, store } = testApp();
    const { supportId } = saveSampleMaterials(store);
    const path = `/materials/supports/${supportId}/cloth`;
    expect((await request(app).get(`/materials/supports/${supportId}`)).text).toContain(path);
    await request(app)
      .post(path)
      .type("form")
      .send({ fibre: "cotton", gramsPerM2: "180", scour: "soda, 60 degrees", isPreShrunk: "yes", widthMm: "1400" })
      .expect(303);
    await request(app)
      .post(`${path}/shrinkage`)
      .type("form")
      .send({ beforeMm: "200", alongMm: "190 191 189", acrossMm: "196,5 197,5" })
      .expect(303);
    expect(store.supports.get(supportId).cloth).toMatchObject({
      fibre: "cotton",
      gramsPerM2: 180,
      isPreShrunk: true,
      shrinkAlong: { percent: 5 },
      shrinkAcross: { percent: 1.5 },
    });
    const page = await request(app).get(path).query({ finishedWidthMm: "394", finishedHeightMm: "475" }).expect(200);
    expect(page.text).toContain("400 × 500 mm");
    expect(page.text).toContain("98.5 × 95.0 % of the first negative");
    expect(page.text).toContain("No print on this cloth");
    // The materials' own form keeps what it does not show.
    await request(app)
      .post(`/materials/supports/${supportId}`)
      .type("form")
      .send({ name: "Rag", kind: "fabric", version: store.supports.get(supportId).updatedAt })
      .expect(303);
    expect(store.supports.get(supportId)).toMatchObject({ name: "Rag", cloth: { fibre: "cotton" } });
  });

  it("in inches is asked and answered in inches", async () => {
    const { app, store } = testApp();
    const { supportId } = saveSampleMaterials(store);
    const page = await request(app)
      .get(`/materials/supports/${supportId}/cloth`)
      .set("Cookie", "writing=inches.comma.iso")
      .query({ finishedWidthInches: "8", finishedHeightInches: "10,5", allowanceInches: "1" })
      .expect(200);
    expect(page.text).toContain("8 × 10,5 in");
    expect(page.text).toContain("10 × 12,5 in");
    expect(page.text).toContain('name="finishedWidthInches"');
  });

  it("asks again where a number is none, and keeps what was typed", async () => {
    const { app, store } = testApp();
    const path = `/materials/supports/${saveSampleMaterials(store).supportId}/cloth`;
    const page = await request(app).get(path).query({ finishedWidthMm: "wide", finishedHeightMm: "400" }).expect(400);
    expect(page.text).toContain('value="wide"');
    await request(app).post(`${path}/shrinkage`).type("form").send({ beforeMm: "200", alongMm: "x" }).expect(400);
    await request(app).get("/materials/supports/nope/cloth").expect(404);
  });
});

/** A strip keeps the share of its density that its picture's bytes say; one that is "lost" has to be shown. */
function fadingImaging() {
  return fakeImaging({
    "measure-reading": (job) => {
      const { picture, request: asked } = job as ReadingJob;
      const text = new TextDecoder().decode(picture);
      if (text === "lost" && asked.corners === undefined)
        throw new InputError("no-tablet-found", "The strip could not be found.");
      const share = text === "lost" ? 0.5 : Number(text);
      const reading = sampleReading();
      const corners = asked.corners ?? reading.location.corners;
      return {
        ...reading,
        location: { ...reading.location, corners },
        steps: reading.steps.map((step) => ({ ...step, red: step.red * share * (asked.corners ? 0.5 : 1) })),
      };
    },
    preview: () => ({
      jpeg: new Uint8Array([255, 216, 255]),
      fullWidth: 600,
      fullHeight: 200,
      width: 600,
      height: 200,
    }),
  });
}

/** Corners as the page of corners sends them. */
const shown = Object.fromEntries(
  [
    [10, 20],
    [500, 20],
    [500, 90],
    [10, 90],
  ].flatMap(([x, y], corner) => [
    [`corners.${corner}.0`, String(x)],
    [`corners.${corner}.1`, String(y)],
  ]),
);

describe("the page of a strip that fades", () => {
  it("where the strip is not found, asks for its corners and keeps what was typed", async () => {
    const { app, store } = testApp({ imaging: fadingImaging() });
    const test = await saveSampleTest(store);
    const path = `/tests/${test.id}/fading`;
    const asked = await request(app)
      .post(path)
      .attach("photo", Buffer.from("lost"), "strip.jpg")
      .field("washes", "5")
      .expect(422);
    expect(asked.text).toContain("Where is the strip?");
    const pictureId = /name="pictureId" value="([^"]+)"/.exec(asked.text)?.[1] ?? "";
    await request(app)
      .post(path)
      .type("form")
      .send({ pictureId, washes: "5", ...shown, "corners.3.1": "" })
      .expect(422);
    const back = await request(app).post(path).type("form").send({ pictureId, washes: "5", again: "form" }).expect(200);
    expect(back.text).toContain("Your picture is kept");
    await request(app)
      .post(path)
      .type("form")
      .send({ pictureId, washes: "5", ...shown })
      .expect(303);
    expect(store.fading.list(test.id)).toMatchObject([
      { pictureId, washes: 5, steps: [{ red: 0.33 }, {}, {}, {}, {}] },
    ]);
  });

  it("when the corners of a later picture are mended, reads it again there", async () => {
    const { app, store } = testApp({ imaging: fadingImaging() });
    const test = await saveSampleTest(store);
    const path = `/tests/${test.id}/fading`;
    await request(app).post(path).attach("photo", Buffer.from("0.9"), "strip.jpg").field("washes", "5").expect(303);
    const [before] = store.fading.list(test.id);
    const corners = `${path}/${before?.id}/corners`;
    expect((await request(app).get(path)).text).toContain(corners);
    expect((await request(app).get(corners).expect(200)).text).toContain('name="corners.2.0" value="550"');
    await request(app).post(corners).type("form").send(shown).expect(303);
    const [after] = store.fading.list(test.id);
    expect(after).toMatchObject({ id: before?.id, pictureId: before?.pictureId, washes: 5 });
    expect(after?.corners?.[2]).toEqual([500, 90]);
    expect(after?.steps[0]?.red).toBeCloseTo((before?.steps[0]?.red ?? 0) / 2, 4);
    await request(app).get(`${path}/nope/corners`).expect(404);
  });

  it("reads it again, and from three readings on says what is left, as a plot with its files", async () => {
    const { app, store } = testApp({ imaging: fadingImaging() });
    const test = await saveSampleTest(store);
    const path = `/tests/${test.id}/fading`;
    expect((await request(app).get(`/tests/${test.id}`)).text).toContain(path);
    expect((await request(app).get(path).expect(200)).text).toContain("From three readings on");
    for (const [share, washes] of [
      ["0.9", "5"],
      ["0.81", "10"],
    ] as const)
      await request(app)
        .post(path)
        .attach("photo", Buffer.from(share), "strip.jpg")
        .field("washes", washes)
        .field("notes", "wool soap")
        .expect(303);
    const page = (await request(app).get(path).expect(200)).text;
    expect(page).toContain("81 % of the deepest step is left after 10 washes");
    expect(page).toContain("wool soap");
    expect(page).toContain("Too pale to tell a loss: step 5.");
    const csv = await request(app).get(`${path}?plot=0&as=csv`).expect(200);
    expect(csv.text).toMatch(/step 1 as read,0,1\.32/);
    const svg = await request(app).get(`${path}?plot=0&as=svg`).buffer(true).expect(200);
    expect(svg.headers["content-type"]).toContain("svg");
    const beyond = (await request(app).get(`${path}?after=40`).expect(200)).text;
    expect(beyond).toContain("Nothing was measured beyond 10");
    const { id } = store.fading.list(test.id)[0]!;
    await request(app).post(`${path}/${id}/delete`).type("form").send({}).expect(303);
    expect(store.fading.list(test.id)).toHaveLength(1);
  });

  it("without a picture asks for one", async () => {
    const { app, store } = testApp();
    const test = await saveSampleTest(store);
    const page = await request(app).post(`/tests/${test.id}/fading`).field("washes", "3").expect(400);
    expect(page.text).toContain("Choose the picture of the strip");
    expect(page.text).toContain('value="3"');
  });
});
