// Tests whose steps an instrument measured: without a picture, beside one, and mended afterwards.
import request from "supertest";
import { describe, expect, it } from "vitest";
import { paintDrawing } from "#src/imaging/paint-drawing.ts";
import { checkChannel, drawnAnew, withDrawnStrip } from "#src/studio/tests/drawn-strip.ts";
import { instrumentSchema } from "#shared/schema/measured/instrument.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleRequest, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** Invented: a print of 8 steps with its bare paper first. */
const numbers = "0.08 1.50 1.46 1.30 0.98 0.60 0.32 0.16 0.10";

function studio() {
  const imaging = fakeImaging({
    "paint-drawing": (job) => paintDrawing(job as { svg: string }),
    preview: () => ({ jpeg: new Uint8Array([0xff, 0xd8]), fullWidth: 640, fullHeight: 270, width: 640, height: 270 }),
  });
  const made = testApp({ imaging });
  return { ...made, imaging, materials: saveSampleMaterials(made.store) };
}

function asked(materials: ReturnType<typeof saveSampleMaterials>, more: object = {}): object {
  return {
    ...sampleRequest(materials),
    tablet: { kind: "transmission", steps: 8, increment: 0.3 },
    instrument: { text: numbers, scaleName: "status T" },
    ...more,
  };
}

describe("a test by an instrument's numbers", () => {
  it("without a picture is saved with a drawing of them, and gives a curve and a time", async () => {
    const { app, imaging, materials } = studio();
    const { body } = await request(app)
      .post("/api/tests")
      .field("request", JSON.stringify(asked(materials)))
      .expect(201);
    expect(imaging.asked).toEqual(["paint-drawing"]);
    expect(body.reading.steps.map(({ red }: { red: number }) => Number(red.toFixed(6)))).toEqual([
      1.42, 1.38, 1.22, 0.9, 0.52, 0.24, 0.08, 0.02,
    ]);
    expect(body.reading.instrument).toMatchObject({ redScale: "red-filter", scaleName: "status T", camera: null });
    expect(body.curve.dMax).toBeGreaterThan(1.35);
    expect(body.exposure.seconds).toBeGreaterThan(0);
    await request(app).get(`/pictures/${body.pictureId}`).expect(200);
    const page = await request(app).get(`/tests/${body.id}`).set("Accept", "text/html").expect(200);
    expect(page.text).toContain("an instrument, status T");
  });

  it("mended afterwards is drawn anew and never read as a photograph", async () => {
    const { app, imaging, materials } = studio();
    const { body } = await request(app)
      .post("/api/tests")
      .field("request", JSON.stringify(asked(materials)));
    const text = numbers.replace("1.46", "1.47");
    const { body: mended } = await request(app)
      .patch(`/api/tests/${body.id}`)
      .send({ instrument: { text } })
      .expect(200);
    expect(mended.reading.steps[1].red).toBeCloseTo(1.39, 9);
    expect(mended.pictureId).not.toBe(body.pictureId);
    expect(imaging.asked).not.toContain("measure-reading");
    await request(app).patch(`/api/tests/${body.id}`).send({ instrument: null }).expect(400);
  });

  it("by the form needs no picture either", async () => {
    const { app, materials } = studio();
    const sending = request(app).post("/tests/new");
    const fields = { ...materials, tabletChoice: "even-other", steps: "8", increment: "0.3", firstDensity: "0.05" };
    for (const [name, value] of Object.entries({ ...fields, exposureMinutes: "8", channel: "red" }))
      void sending.field(name, value);
    await sending.attach("instrumentFile", Buffer.from(numbers), "steps.txt").expect(303);
  });

  it("with the wrong count of lines says so beside the numbers", async () => {
    const { app, materials } = studio();
    const { body } = await request(app)
      .post("/api/tests")
      .field("request", JSON.stringify(asked(materials, { instrument: { text: "1.4 1.0" } })))
      .expect(400);
    expect(body).toMatchObject({ field: "instrument.text" });
    expect(body.detail).toMatch(/2 patches, but the tablet has 8 steps/);
  });

  it("that measured visual density alone is not judged by red", async () => {
    const { app, materials } = studio();
    const visual = { instrument: { text: numbers, quantity: "visual-density" } };
    const send = (more: object) =>
      request(app)
        .post("/api/tests")
        .field("request", JSON.stringify(asked(materials, { ...visual, ...more })));
    expect((await send({}).expect(400)).body.detail).toMatch(/visual density alone/);
    await send({ channel: "visual" }).expect(201);
  });
});

describe("the acts behind it", () => {
  it("leave a test with a picture as it is", async () => {
    const { store, imaging, materials } = studio();
    const tools = { store, imaging };
    const plain = sampleRequest(materials);
    const pictures = { photos: [new Uint8Array(3)] };
    const instrument = instrumentSchema.parse({ text: numbers });
    expect(await withDrawnStrip(tools, { ...plain, instrument }, pictures)).toEqual({
      asked: { ...plain, instrument },
      pictures,
    });
    expect(await drawnAnew(tools, { ...plain, instrument }, { steps: [] })).toBeNull();
    expect(() => checkChannel(plain, {})).not.toThrow();
  });
});
