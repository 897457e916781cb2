import { spawnSync } from "node:child_process";
import { readdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import request from "supertest";
import { afterAll, describe, expect, it } from "vitest";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 1 });
const { app, store } = testApp({ imaging });
const { id: testId } = await saveLevelsTest(store);
afterAll(() => imaging.close());

/** A ramp from black to white, left to right, 256 wide. */
const rampPixels = Uint8Array.from({ length: 256 * 64 * 3 }, (_, index) => Math.floor(index / 3) % 256);
const ramp = await sharp(rampPixels, { raw: { width: 256, height: 64, channels: 3 } })
  .png()
  .toBuffer();
/** 256 px at this width are 300 dpi, so nothing is resampled. */
const rampWidthMm = (256 / 300) * 25.4;

const ask = (body: object, photo: Buffer | null = ramp, query = "") => {
  const asking = request(app)
    .post(`/api/negatives${query}`)
    .field(
      "request",
      JSON.stringify({ testId, widthMm: rampWidthMm, dpi: 300, mirror: false, format: "png", ...body }),
    );
  return photo === null ? asking : asking.attach("photo", photo, "picture.png");
};
const pixelsOf = async (png: Buffer) => sharp(png).toColourspace("b-w").raw().toBuffer();
const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;

describe("POST /api/negatives", () => {
  it("gives the corrected, inverted picture: each column within half a level of 255 less the table", async () => {
    const { levels } = (await request(app).get(`/api/tests/${testId}/correction`)).body as { levels: number[] };
    const answer = await ask({}).expect(200).expect("Content-Type", "image/png");
    expect(answer.headers["content-disposition"]).toMatch(
      /negative-Strip-on-cotton-box-2-22mm-300dpi-not-mirrored\.png/,
    );
    const meta = await sharp(answer.body).metadata();
    expect(meta).toMatchObject({ width: 256, height: 64, channels: 1, depth: "uchar", density: 300 });
    const pixels = await pixelsOf(answer.body);
    for (let x = 0; x < 256; x++) {
      const column = Array.from({ length: 64 }, (_, y) => pixels[y * 256 + x]!);
      const mean = column.reduce((sum, value) => sum + value) / 64;
      const wanted = 255 - levels[x]!;
      expect(Math.abs(mean - wanted), `column ${x}`).toBeLessThan(0.5);
      for (const value of column) expect(Math.abs(value - wanted)).toBeLessThan(1.2);
    }
    expect([pixels[0], pixels[255]]).toEqual([255, 0]);
  });

  it("mirrored, is the same picture turned left to right", async () => {
    const straight = await pixelsOf((await ask({})).body);
    const mirrored = await pixelsOf((await ask({ mirror: true })).body);
    for (let y = 0; y < 64; y++)
      for (let x = 0; x < 256; x++)
        if (mirrored[y * 256 + x] !== straight[y * 256 + 255 - x]) throw new Error(`differs at ${x}, ${y}`);
  });

  it("enlarged, has the exact size, resolution and smooth tones", async () => {
    const answer = await ask({ widthMm: 100, dpi: 300 }).expect(200);
    const meta = await sharp(answer.body).metadata();
    expect([meta.width, meta.height, meta.density]).toEqual([1181, Math.round((1181 * 64) / 256), 300]);
  });

  it("keeps 16 bits: a ramp finer than 8 bits does not break into bands", async () => {
    const width = 2048;
    const fine = Uint16Array.from({ length: width * 32 }, (_, index) => 32_768 + (index % width));
    const photo = await sharp(fine, { raw: { width, height: 32, channels: 1 } })
      .toColourspace("grey16")
      .png()
      .toBuffer();
    const answer = await ask({ widthMm: (width / 300) * 25.4, contrast: 50 }, photo).expect(200);
    const pixels = await pixelsOf(answer.body);
    const meanOf = (from: number) =>
      Array.from(
        { length: 256 * 32 },
        (_, index) => pixels[Math.floor(index / 256) * width + from + (index % 256)]!,
      ).reduce((sum, value) => sum + value) /
      (256 * 32);
    const means = Array.from({ length: 8 }, (_, index) => meanOf(index * 256));
    for (let index = 1; index < 8; index++) expect(means[index]!).toBeLessThan(means[index - 1]! - 0.2);
  });

  it("honours the picture's colour profile: the same colours in another space give the same negative", async () => {
    // An engine of its own (LittleCMS inside the decoder) carries one picture from sRGB to P3 at 16 bits.
    const colours = Uint8Array.from(
      { length: 128 * 32 * 3 },
      (_, index) => [40 + (Math.floor(index / 3) % 128), 180 - (Math.floor(index / 3) % 128), 90][index % 3]!,
    );
    const plain = await sharp(colours, { raw: { width: 128, height: 32, channels: 3 } })
      .png()
      .toBuffer();
    const wide = await sharp(plain).toColourspace("rgb16").withIccProfile("p3").png().toBuffer();
    const body = { widthMm: (128 / 300) * 25.4 };
    const [a, b] = [await pixelsOf((await ask(body, plain)).body), await pixelsOf((await ask(body, wide)).body)];
    for (let x = 0; x < 128; x++) {
      const mean = (pixels: Buffer) =>
        Array.from({ length: 32 }, (_, y) => pixels[y * 128 + x]!).reduce((sum, value) => sum + value) / 32;
      expect(Math.abs(mean(a) - mean(b))).toBeLessThan(2);
    }
  });

  it("stands upright as the camera held it", async () => {
    const turned = await sharp(rampPixels, { raw: { width: 256, height: 64, channels: 3 } })
      .withMetadata({ orientation: 6 })
      .jpeg({ quality: 100 })
      .toBuffer();
    const answer = await ask({ widthMm: (64 / 300) * 25.4 }, turned).expect(200);
    const meta = await sharp(answer.body).metadata();
    expect([meta.width, meta.height]).toEqual([64, 256]);
    const pixels = await pixelsOf(answer.body);
    expect(pixels[10]!).toBeGreaterThan(pixels[255 * 64 + 10]!);
  });

  it("crops, and weighs the colours as asked", async () => {
    const crop = await ask({ crop: { x: 0.5, y: 0, width: 0.5, height: 1 }, widthMm: (128 / 300) * 25.4 }).expect(200);
    const whole = await pixelsOf((await ask({})).body);
    const half = await pixelsOf(crop.body);
    expect(Math.abs(half[0]! - whole[128]!)).toBeLessThanOrEqual(1);
    const red = await sharp({ create: { width: 64, height: 64, channels: 3, background: "#ff0000" } })
      .png()
      .toBuffer();
    const byRed = await pixelsOf((await ask({ widthMm: 5.5, greyWeights: { red: 1, green: 0, blue: 0 } }, red)).body);
    const byBlue = await pixelsOf((await ask({ widthMm: 5.5, greyWeights: { red: 0, green: 0, blue: 1 } }, red)).body);
    expect([byRed[0], byBlue[0]]).toEqual([0, 255]);
  });

  it("with margin, marks and caption, keeps the margin in one tone, its text right after mirroring", async () => {
    const body = { marginMm: 8, registrationMarks: true, caption: true, captionDate: "2026-05-01" };
    const straight = (await ask(body).expect(200)).body;
    const meta = await sharp(straight).metadata();
    const margin = Math.round((8 / 25.4) * 300);
    expect([meta.width, meta.height]).toEqual([256 + 2 * margin, 64 + 2 * margin + 71]);
    const pixels = await pixelsOf(straight);
    expect(pixels[0]).toBe(0);
    const captionRows = pixels.subarray((64 + 2 * margin) * meta.width!);
    expect(captionRows.filter((value) => value === 255).length).toBeGreaterThan(200);
    const clear = await pixelsOf((await ask({ ...body, marginTone: "clear" })).body);
    expect(clear[0]).toBe(255);
  });

  it.skipIf(!has("pdfinfo") || !has("pdfimages"))(
    "as PDF, has pages of exact size and grey pictures at the exact resolution (needs poppler-utils)",
    async () => {
      const answer = await ask({
        format: "pdf",
        widthMm: 180,
        dpi: 150,
        marginMm: 5,
        filmWidthMm: 100,
        filmHeightMm: 120,
      })
        .expect(200)
        .expect("Content-Type", "application/pdf");
      const file = join(temporaryFolder(), "negative.pdf");
      writeFileSync(file, answer.body);
      const info = spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout;
      const [, wide, high] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(info)!.map(Number);
      const images = spawnSync("pdfimages", ["-list", file], { encoding: "utf8" })
        .stdout.trim()
        .split("\n")
        .slice(2)
        .map((line) => line.trim().split(/\s+/));
      // The last page is the plan of the sheets.
      expect(Number(/Pages:\s+(\d+)/.exec(info)![1])).toBe(images.length + 1);
      expect(images.length).toBeGreaterThan(1);
      for (const image of images) {
        expect(image.slice(2, 3).concat(image.slice(5, 8))).toEqual(["image", "gray", "1", "8"]);
        expect([Number(image[12]), Number(image[13])]).toEqual([150, 150]);
      }
      expect(wide!).toBeCloseTo((100 / 25.4) * 72, 1);
      expect(high!).toBeCloseTo((120 / 25.4) * 72, 1);
      const png = (await ask({ widthMm: 180, dpi: 150, marginMm: 5, filmWidthMm: 100, filmHeightMm: 120, tile: 1 }))
        .body;
      const folder = temporaryFolder();
      spawnSync("pdfimages", ["-png", "-f", "1", "-l", "1", file, join(folder, "page")]);
      expect(
        (await pixelsOf(await sharp(join(folder, "page-000.png")).png().toBuffer())).equals(await pixelsOf(png)),
      ).toBe(true);
    },
  );

  it("when something is wrong, says what and which field", async () => {
    expect((await ask({}, null).expect(400)).body).toMatchObject({ field: "photo" });
    expect((await ask({ testId: "nosuchtest" }).expect(400)).body).toMatchObject({ field: "testId" });
    expect((await ask({ widthMm: "wide" }).expect(400)).body).toMatchObject({ field: "widthMm" });
    expect((await ask({ filmWidthMm: 40, filmHeightMm: 40, widthMm: 100 }).expect(400)).body).toMatchObject({
      field: "format",
      sheets: expect.any(Number),
    });
    await ask({}, Buffer.from("this is no picture")).expect(415);
    await ask({}, ramp.subarray(0, 200)).expect(415);
    await ask({ widthMm: 3000, dpi: 2880 }).expect(413);
    await request(app).post("/api/negatives").send({ testId }).expect(415);
  });

  it.each(["density", "0:0,128:60,255:100"])(
    "made by the form for the target %s, is the one that the curve page shows and the API makes",
    async (target) => {
      const curvePage = await request(app).get(`/tests/${testId}/correction?target=${encodeURIComponent(target)}`);
      const href = /href="(\/negatives\/new\?[^"]*)"/.exec(curvePage.text)?.[1]?.replaceAll("&amp;", "&") ?? "";
      const page = await request(app).get(href).expect(200);
      const sent = /<option value="([^"]*)" selected/.exec(page.text.split('id="target"')[1] ?? "")?.[1];
      expect(sent).toBe(target);
      const { levels } = (
        await request(app).get(`/api/tests/${testId}/correction?target=${encodeURIComponent(target)}`)
      ).body as { levels: number[] };
      const form = { testId, target, widthMm: String(rampWidthMm), dpi: "300", format: "png", invert: "yes" };
      let posting = request(app).post("/negatives");
      for (const [name, value] of Object.entries(form)) posting = posting.field(name, value);
      const answer = await posting.attach("photo", ramp, "picture.png").expect(200);
      const pixels = await pixelsOf(answer.body as Buffer);
      for (let x = 0; x < 256; x += 5) {
        const mean = Array.from({ length: 64 }, (_, y) => pixels[y * 256 + x]!).reduce((sum, v) => sum + v) / 64;
        expect(Math.abs(mean - (255 - levels[x]!)), `column ${x}`).toBeLessThan(0.5);
      }
      const byApi = await ask({ target, invert: true }).expect(200);
      expect(await pixelsOf(byApi.body as Buffer)).toEqual(pixels);
    },
  );

  it("leaves no files behind", async () => {
    const before = readdirSync(tmpdir()).filter((name) => /^wedgewright-\w{6}$/.test(name)).length;
    await ask({}).expect(200);
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(readdirSync(tmpdir()).filter((name) => /^wedgewright-\w{6}$/.test(name)).length).toBeLessThanOrEqual(before);
  });
});

describe("a negative that nobody waits for", () => {
  const until = async (path: string, isEnough: (body: { state: string; share: number }) => boolean) => {
    for (;;) {
      const { body } = await request(app).get(path).expect(200);
      if (isEnough(body)) return body;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };

  it("tells its progress and then where its file is", async () => {
    const started = await ask({ widthMm: 150, dpi: 600 }, ramp, "?wait=false").expect(202);
    expect(started.headers.location).toBe(`/api/negatives/${started.body.id}`);
    const done = await until(started.headers.location!, ({ state }) => state !== "working");
    expect(done).toMatchObject({
      state: "done",
      share: 1,
      file: `${started.headers.location}/file`,
      fileName: expect.stringMatching(/^negative-/),
    });
    const file = await request(app)
      .get(`${started.headers.location}/file`)
      .expect(200)
      .expect("Content-Type", "image/png");
    expect(await sharp(file.body).metadata()).toMatchObject({ width: 3543, density: 600 });
    await request(app).delete(started.headers.location!).expect(204);
    await request(app).get(started.headers.location!).expect(404);
  });

  it("can be cancelled, and says so when it fails", async () => {
    const started = await ask({ widthMm: 250, dpi: 1000 }, ramp, "?wait=false").expect(202);
    await request(app).delete(started.headers.location!).expect(204);
    await request(app).get(started.headers.location!).expect(404);
    const failing = await ask({}, Buffer.from("no picture"), "?wait=false").expect(202);
    const failed = await until(failing.headers.location!, ({ state }) => state !== "working");
    expect(failed).toMatchObject({ state: "failed", file: null, detail: expect.stringMatching(/not a picture/) });
  });
});
