// The window pixel for pixel, and pictures that a browser cannot open.
import { join } from "node:path";
import sharp from "sharp";
import request from "supertest";
import { afterAll, describe, expect, it } from "vitest";
import { createImagingPool } from "#src/imaging/pool.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { rootDir } from "#src/settings.ts";
import { negativeWindow, smallPicture } from "#src/studio/negatives/preview-negative.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 1 });
const { app, store } = testApp({ imaging });
const { id: testId } = await saveLevelsTest(store);
afterAll(() => imaging.close());

const tiff = await sharp({
  create: {
    width: 900,
    height: 700,
    channels: 3,
    background: "#808080",
    noise: { type: "gaussian", mean: 128, sigma: 40 },
  },
})
  .toColourspace("rgb16")
  .tiff()
  .toBuffer();
const form = {
  testId,
  target: "lightness",
  widthMm: "200",
  dpi: "150",
  invert: "yes",
  sharpening: "60",
  marginMm: "0",
};

async function window(fields: Record<string, string>): Promise<{ pixels: Buffer; width: number; height: number }> {
  let asking = request(app).post("/negatives/window");
  for (const [name, value] of Object.entries({ ...form, ...fields })) asking = asking.field(name, value);
  const { body } = await asking.attach("photo", tiff, "picture.tif").expect(200).expect("Content-Type", "image/png");
  const { data, info } = await sharp(body as Buffer)
    .toColourspace("b-w")
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { pixels: data, width: info.width, height: info.height };
}

describe("a window of the negative", () => {
  it("is the finished file's own pixels, wherever it is asked for, of a TIFF too", async () => {
    let asking = request(app).post("/negatives");
    for (const [name, value] of Object.entries({ ...form, format: "png" })) asking = asking.field(name, value);
    const whole = await sharp((await asking.attach("photo", tiff, "picture.tif").expect(200)).body as Buffer)
      .toColourspace("b-w")
      .raw()
      .toBuffer({ resolveWithObject: true });
    for (const [atX, atY] of [
      [0.5, 0.5],
      [0, 0],
      [1, 0.8],
    ] as const) {
      const seen = await window({ atX: String(atX), atY: String(atY) });
      const along = (share: number, size: number, all: number) =>
        Math.round(Math.min(all - size, Math.max(0, share * all - size / 2)));
      const left = along(atX, seen.width, whole.info.width);
      const top = along(atY, seen.height, whole.info.height);
      for (let y = 0; y < seen.height; y++) {
        const from = (top + y) * whole.info.width + left;
        const row = seen.pixels.subarray(y * seen.width, (y + 1) * seen.width);
        if (!row.equals(whole.data.subarray(from, from + seen.width))) throw new Error(`row ${y} at ${atX}, ${atY}`);
      }
    }
  });

  it("of the positive, is the picture's grey, neither corrected nor turned", async () => {
    const seen = await window({ as: "positive", sharpening: "0", mirror: "yes" });
    const mean = seen.pixels.reduce((sum, value) => sum + value, 0) / seen.pixels.length;
    expect(Math.abs(mean - 128)).toBeLessThan(6);
  });

  it("through the act, and of a picture that cannot be read, says what is wrong", async () => {
    const file = join(temporaryFolder(), "picture.tif");
    await sharp(tiff).toFile(file);
    const wish = { request: negativeRequestSchema.parse({ testId, widthMm: 20 }), file, workFolder: temporaryFolder() };
    const png = await negativeWindow({ store, imaging }, { ...wish, at: { x: 0.5, y: 0.5 }, as: "film" });
    expect(await sharp(png).metadata()).toMatchObject({ width: 236, format: "png" });
    expect(await smallPicture({ imaging }, { file, maxSidePx: 640 })).toMatchObject({
      fullWidth: 900,
      fullHeight: 700,
    });
    await request(app).post("/negatives/window").field("widthMm", "20").field("testId", testId).expect(400);
  });
});

describe("a picture that the browser cannot open", () => {
  it("comes back small and as JPEG, with its full size", async () => {
    const answer = await request(app).post("/negatives/small-picture").attach("photo", tiff, "picture.tif").expect(200);
    expect(answer.headers["wedgewright-size"]).toBe("900 700");
    expect(await sharp(answer.body as Buffer).metadata()).toMatchObject({ format: "jpeg", width: 640 });
  });
});
