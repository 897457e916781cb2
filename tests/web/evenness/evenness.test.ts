// Photos of a bed's print are painted here: lamp fall, coating curve and camera fall-off are known and independent.
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { measureField, type FieldJob } from "#src/imaging/measure-field.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { chance } from "../../bench/closed-loop/chance.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const [width, height] = [540, 420];
const bed = { left: 72, top: 60, right: 468, bottom: 360 };
const corners = [
  [bed.left, bed.top],
  [bed.right, bed.top],
  [bed.right, bed.bottom],
  [bed.left, bed.bottom],
];

/** Red density of the invented coating for log10 of exposure (1 = an ordinary print). */
const coating = (logH: number): number => 1.3 * (1 - Math.exp(-(10 ** (1.3 * (logH - 0.75)))));
/** The lamp: 0.6 stop weaker at the right edge than at the left, a little weaker at the front. */
const lampStops = (u: number, v: number): number => -0.6 * u - 0.15 * v * v;
const encode = (value: number): number =>
  Math.round(255 * (value <= 0.0031308 ? 12.92 * value : 1.055 * value ** (1 / 2.4) - 0.055));

async function photo({
  printed = true,
  border = true,
  vignette = 0.35,
  logH = 0.6,
}: {
  printed?: boolean;
  border?: boolean;
  vignette?: number;
  logH?: number;
}): Promise<Buffer> {
  const random = chance(3);
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [dx, dy] = [x / width - 0.5, y / height - 0.5];
      const light = 0.8 * (1 - vignette * 2 * (dx * dx + dy * dy)) * (1 + 0.2 * dx);
      const inside = x >= bed.left && x < bed.right && y >= bed.top && y < bed.bottom;
      const [u, v] = [(x - bed.left) / (bed.right - bed.left), (y - bed.top) / (bed.bottom - bed.top)];
      const d = printed && inside ? coating(logH + lampStops(u, v) * Math.log10(2)) * (1 + random.normal(0.02)) : 0;
      const paper = printed && !inside && !border ? 0.12 : 1;
      [10 ** -d, 10 ** (-0.6 * d), 10 ** (-0.25 * d)].forEach((value, k) => {
        data[(y * width + x) * 3 + k] = encode(Math.min(1, light * paper * value));
      });
    }
  }
  return sharp(data, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();
}

async function studioWithCurve() {
  const imaging = fakeImaging({
    "measure-field": (job) => measureField(job as FieldJob),
    "measure-reading": (job) => measureReading(job as ReadingJob),
  });
  const { app, store } = testApp({ imaging });
  const curve = fitCharacteristicCurve({
    channel: "red",
    steps: Array.from({ length: 21 }, (_, i) => ({
      index: i + 1,
      logH: 2.2 - 0.15 * i,
      sigmaLogH: 0,
      density: coating(2.2 - 0.15 * i),
      sigma: 0.005,
      isFlagged: false,
    })),
  });
  const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
  const test = store.transaction(() => store.tests.save({ ...record, curve }));
  return { app, testId: test.id };
}

const send = async (app: Parameters<typeof request>[0], asked: object, picture: Buffer, evenLight?: Buffer) => {
  const post = request(app)
    .post("/api/evenness")
    .field("request", JSON.stringify(asked))
    .attach("photo", picture, "bed.png");
  return evenLight === undefined ? post : post.attach("evenLight", evenLight, "plain.png");
};

describe("POST /api/evenness", () => {
  it("from one exposure with bare paper round it, tells the lamp's fall from the camera's", async () => {
    const { app, testId } = await studioWithCurve();
    const response = await send(
      app,
      { kind: "exposure", testId, corners, bedWidthMm: 400, bedHeightMm: 300 },
      await photo({}),
    );
    expect(response.status).toBe(200);
    expect(response.body.lightFrom).toBe("paper-border");
    // Between the outermost cells' middles: 0.6 x 23/24 across and 0.15 x (47/48)² down.
    expect(Math.abs(response.body.worstToBestStops - 0.72)).toBeLessThan(0.06);
    expect(response.body.best.x).toBeLessThan(0.1);
    expect(response.body.worst.x).toBeGreaterThan(0.9);
    expect(response.body.reasons.join(" ")).toMatch(/Put the work inside \d+ × \d+ mm/);
  });

  it("without border but with an even-light picture, gives the same answer", async () => {
    const { app, testId } = await studioWithCurve();
    const response = await send(
      app,
      { kind: "exposure", testId, corners },
      await photo({ border: false }),
      await photo({ printed: false }),
    );
    expect(response.body.lightFrom).toBe("even-light-picture");
    expect(Math.abs(response.body.worstToBestStops - 0.72)).toBeLessThan(0.06);
  });

  it("with neither, refuses rather than take the camera's fall-off for the lamp's", async () => {
    const { app, testId } = await studioWithCurve();
    const response = await send(app, { kind: "exposure", testId, corners }, await photo({ border: false }));
    expect(response.status).toBe(422);
    expect(response.body).toMatchObject({ code: "evenness-unknown", field: "evenLight" });
  });

  it("printed so dark that the blue no longer changes, asks for a middle blue and says how long", async () => {
    const { app, testId } = await studioWithCurve();
    const response = await send(app, { kind: "exposure", testId, corners }, await photo({ logH: 1.9 }));
    expect(response.status).toBe(422);
    expect(response.body.detail).toMatch(/middle blue: about \d/);
  });

  it.each([
    [{ kind: "exposure", testId: "nothere", corners }, "testId"],
    [{ kind: "exposure", corners }, "testId"],
    [
      { kind: "tablets", tablet: { kind: "sheet" }, corners, tablets: Array.from({ length: 5 }, () => ({ corners })) },
      "tablet",
    ],
    [
      {
        kind: "tablets",
        tablet: { kind: "transmission", steps: 21, increment: 0.15 },
        corners,
        tablets: [{ corners }],
      },
      "tablets",
    ],
  ])("asked with %j, names %s as the field at fault", async (asked, field) => {
    const { app } = await studioWithCurve();
    const response = await send(app, asked, await photo({}));
    expect(response.status).toBe(400);
    expect(response.body.field).toBe(field);
  });
});

interface BedTruth {
  readonly bedWidthMm: number;
  readonly bedHeightMm: number;
  readonly tablet: object;
  readonly tablets: readonly {
    readonly leftMm: number;
    readonly backMm: number;
    readonly corners: [number, number][];
    readonly stops: number;
  }[];
  readonly worstToBestStops: number;
  readonly withinTenthShare: number;
}

describe("POST /api/evenness with several tablets", () => {
  const folder = new URL("../../../samples/beds/", import.meta.url);
  const truth = JSON.parse(readFileSync(new URL("five-tablets.truth.json", folder), "utf8")) as BedTruth;
  const picture = readFileSync(new URL("five-tablets.jpg", folder));
  const placeOf = ({ leftMm, backMm }: { leftMm: number; backMm: number }) => ({
    x: leftMm / truth.bedWidthMm,
    y: backMm / truth.bedHeightMm,
  });
  const asked = { kind: "tablets", tablet: truth.tablet, bedWidthMm: truth.bedWidthMm, bedHeightMm: truth.bedHeightMm };

  it("on pieces of paper with told places, finds each one's light and a range that holds the bed's", async () => {
    const { app } = await studioWithCurve();
    const { status, body } = await send(
      app,
      { ...asked, tablets: truth.tablets.map((tablet) => ({ corners: tablet.corners, place: placeOf(tablet) })) },
      picture,
    );
    expect(status).toBe(200);
    expect(body).toMatchObject({ kind: "tablets", lightFrom: "paper-beside-tablets", corners: null });
    const middle = 2;
    truth.tablets.forEach(({ stops }, i) => {
      const found = body.places[i].stops - body.places[middle].stops;
      expect(Math.abs(found - (stops - truth.tablets[middle]!.stops)), `tablet ${i + 1}`).toBeLessThan(0.07);
    });
    expect(Math.abs(body.worstToBestStops - truth.worstToBestStops)).toBeLessThan(1.96 * body.sigmaStops);
    expect(body.sigmaStops).toBeLessThan(0.25);
    expect(Math.hypot(body.best.x - 0.5, body.best.y - 0.4)).toBeLessThan(0.2);
    expect(body.worst.y).toBeGreaterThan(0.9);
    expect(Math.abs(body.withinTenthShare - truth.withinTenthShare)).toBeLessThan(0.12);
  });

  it("has the picture decoded once for all its tablets, under the hash of its content", async () => {
    const names: (string | undefined)[] = [];
    const imaging = fakeImaging();
    const { app } = testApp({
      imaging: {
        ...imaging,
        run: (name, job, options) => {
          names.push(options?.keepAs);
          return imaging.run(name, job);
        },
      },
    });
    await send(
      app,
      { ...asked, tablets: truth.tablets.map((tablet) => ({ corners: tablet.corners, place: placeOf(tablet) })) },
      picture,
    );
    expect(names).toEqual(truth.tablets.map(() => createHash("sha256").update(picture).digest("hex")));
  });

  it("without places or bed corners, asks for the first tablet's place", async () => {
    const { app } = await studioWithCurve();
    const { status, body } = await send(
      app,
      { ...asked, tablets: truth.tablets.map(({ corners: own }) => ({ corners: own })) },
      picture,
    );
    expect(status).toBe(400);
    expect(body.field).toBe("tablets.0.place");
  });

  it("all on one line, refuses to speak of the bed beside it", async () => {
    const { app } = await studioWithCurve();
    const { status, body } = await send(
      app,
      {
        ...asked,
        tablets: truth.tablets.map((tablet, i) => ({ corners: tablet.corners, place: { x: 0.1 + 0.2 * i, y: 0.5 } })),
      },
      picture,
    );
    expect(status).toBe(422);
    expect(body).toMatchObject({ code: "evenness-unknown", field: "tablets" });
  });
});
