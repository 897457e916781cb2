// A photogram from a photo of its print beside the strip, by page without script and by API.
import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import type { PhotogramPhoto } from "#src/studio/negatives/photogram-photo.ts";
import { readPhotogramPhoto } from "#src/studio/negatives/photogram-photo.ts";
import { photogramAt } from "#src/studio/negatives/read-photogram.ts";
import { measureSpots, type SpotsJob } from "#src/imaging/measure-spots.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

// An invented coating: D = 1.4 / (1 + exp(-4 (log H - 2))), printed through 14 steps of 0.15 for ten minutes.
const blue = (logH: number): number => 1.4 / (1 + Math.exp(-4 * (logH - 2)));
const density = (index: number): number => 0.05 + 0.15 * index;
const logHOf = (index: number): number => Math.log10(600) - density(index);
const [stepPx, count] = [48, 14] as const;
/** The thing held back 0.62 of its 1200 seconds' light. */
const thing = { logH: Math.log10(1200) - 0.9, at: [460, 560] as const };

/** sRGB code of a share of light. Source: IEC 61966-2-1 */
const code = (light: number): number =>
  Math.round(255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055));

async function photo(): Promise<Buffer> {
  const [width, height] = [900, 800];
  const data = Buffer.alloc(width * height * 3);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const step = Math.floor((x - 120) / stepPx);
      const isStrip = step >= 0 && step < count && y >= 120 && y < 240;
      const isThing = Math.hypot(x - thing.at[0], y - thing.at[1]) < 90;
      const ground = y > 400 && y < 720 && x > 200 && x < 720 ? 1.35 : 0;
      const beside = isThing ? blue(thing.logH) : ground;
      const printed = isStrip ? blue(logHOf(step)) : beside;
      const light = [1, 0.6, 0.3].map((share) => code(0.75 * 10 ** (-share * printed)));
      data.set(light, (y * width + x) * 3);
    }
  return sharp(data, { raw: { width, height, channels: 3 } })
    .png()
    .toBuffer();
}

const imaging = fakeImaging({
  "measure-spots": (job) => measureSpots(job as SpotsJob),
  preview: () => ({ jpeg: new Uint8Array([1]), fullWidth: 900, fullHeight: 800, width: 320, height: 284 }),
});
const { app, store } = testApp({ imaging });
const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
const curve = fitCharacteristicCurve({
  channel: "red",
  steps: Array.from({ length: count }, (_, i) => ({
    index: i + 1,
    logH: logHOf(i),
    sigmaLogH: 0,
    density: blue(logHOf(i)),
    sigma: 0.004,
    isFlagged: false,
  })),
});
const tablet = { kind: "transmission" as const, steps: count, increment: 0.15, firstDensity: 0.05 };
const { id: testId } = store.transaction(() =>
  store.tests.save({ ...record, curve, request: { ...record.request, tablet, exposureSeconds: 600 } }),
);
const corners = [
  [120, 120],
  [120 + stepPx * count, 120],
  [120 + stepPx * count, 240],
  [120, 240],
] as [[number, number], [number, number], [number, number], [number, number]];
const picture = await photo();

/** A middle blue, 0.60, lies at log H 2 + ln(0.6 / 0.8) / 4 of this coating; the thing holds back 0.9. */
const midSeconds = 10 ** (2 + Math.log(0.6 / 0.8) / 4 + 0.9);

describe("a photogram from a photo", () => {
  it("by the API, gives what the thing holds back and the time of a middle blue with its range", async () => {
    const asked = { testId, corners, exposureSeconds: 1200, spots: [thing.at, [460, 520]] };
    const { body } = await request(app)
      .post("/api/photograms")
      .field("request", JSON.stringify(asked))
      .attach("photo", picture, "thing.png")
      .expect(200);
    const { spots } = body as PhotogramPhoto;
    expect(spots).toHaveLength(2);
    for (const { found } of spots) {
      expect(Math.abs((found?.density ?? 0) - 0.9)).toBeLessThan(0.03);
      expect(Math.abs(Math.log2((found?.mid?.seconds ?? 1) / midSeconds))).toBeLessThan(0.1);
      expect(found?.mid?.lowerSeconds).toBeLessThan(midSeconds);
      expect(found?.mid?.upperSeconds).toBeGreaterThan(midSeconds);
    }
    const own = await readPhotogramPhoto(
      { store, imaging },
      {
        picture,
        request: { testId, corners, exposureSeconds: 1200, spots: [[460, 560]] },
      },
    );
    expect(own.spots[0]).toEqual(spots[0]);
    const test = store.tests.get(testId);
    const exact = { exposureSeconds: 1200, logH: thing.logH, lowerLogH: 0.1, upperLogH: 0.1 };
    const direct = photogramAt({ store }, test, exact);
    expect(typeof direct === "string" ? direct : direct.density).toBeCloseTo(0.9, 1);
  });

  it("on the page without script, answers where the picture was tapped", async () => {
    const sent = await request(app)
      .post("/objects/photo")
      .field("testId", testId)
      .field("minutes", "20")
      .field("seconds", "0")
      .attach("photo", picture, "thing.png")
      .expect(303);
    const address = sent.headers["location"] as string;
    const shown = await request(app).get(address).expect(200);
    expect(shown.text).toContain('type="image" name="at"');
    const { text } = await request(app).get(`${address}&at.x=163&at.y=199`).expect(200);
    expect(text).toContain("For a middle blue under the thing, expose for");
    const seconds = /answer-time">(\d+):(\d\d)</.exec(text);
    const told = Number(seconds?.[1]) * 60 + Number(seconds?.[2]);
    expect(Math.abs(Math.log2(told / midSeconds))).toBeLessThan(0.12);
  });

  it("at the deep blue beside the thing, or beyond the picture, says why there is no answer", async () => {
    const ask = (spots: number[][]) =>
      request(app)
        .post("/api/photograms")
        .field("request", JSON.stringify({ testId, corners, exposureSeconds: 1200, spots }))
        .attach("photo", picture, "thing.png");
    const deep = (await ask([[650, 450]]).expect(200)).body as PhotogramPhoto;
    expect(deep.spots[0]).toMatchObject({ found: null, trouble: expect.stringContaining("says nothing") as string });
    await ask([[5000, 10]]).expect(400);
    await ask([]).expect(400);
  });
});
