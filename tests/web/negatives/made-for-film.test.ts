// Negatives as files for a film: sizes, tiles, depths and kinds, read back by programs that are not ours.
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import request from "supertest";
import { decode } from "tiff";
import { afterAll, describe, expect, it } from "vitest";
import { filmSizes } from "#shared/correction/film-sizes.ts";
import { negativeLayout } from "#shared/correction/layout/negative-layout.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 1 });
const { app, store } = testApp({ imaging });
const { id: testId } = await saveLevelsTest(store);
afterAll(() => imaging.close());

const size = { width: 240, height: 160 };
/** Greys without a pattern, so that a shifted or missing column shows. */
const photo = await sharp({
  create: { ...size, channels: 3, background: "#808080", noise: { type: "gaussian", mean: 128, sigma: 50 } },
})
  .png()
  .toBuffer();

const usual = { testId, widthMm: 120, dpi: 100, mirror: false, format: "png" };
const ask = async (body: object): Promise<Buffer> =>
  (
    await request(app)
      .post("/api/negatives")
      .field("request", JSON.stringify({ ...usual, ...body }))
      .attach("photo", photo, "picture.png")
      .expect(200)
  ).body as Buffer;
const greys = (picture: Buffer) => sharp(picture).toColourspace("b-w").raw().toBuffer();
const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;
const saved = (bytes: Buffer, name: string): string => {
  const file = join(temporaryFolder(), name);
  writeFileSync(file, bytes);
  return file;
};

describe("a negative for a film", () => {
  it.skipIf(!has("pdfinfo")).each(filmSizes.filter(({ heightMm }) => heightMm !== null))(
    "on $label, has PDF pages of exactly that size to 0.1 mm (poppler)",
    async ({ widthMm, heightMm }) => {
      const film = { filmWidthMm: widthMm, filmHeightMm: heightMm, filmMayTurn: true };
      const file = saved(await ask({ format: "pdf", widthMm: 400, dpi: 50, ...film }), "film.pdf");
      const { stdout } = spawnSync("pdfinfo", ["-l", "99", file], { encoding: "utf8" });
      const pages = [...stdout.matchAll(/Page +\d+ size:\s+([\d.]+) x ([\d.]+) pts/g)].map(([, w, h]) => [
        (Number(w) / 72) * 25.4,
        (Number(h) / 72) * 25.4,
      ]);
      expect(pages.length).toBeGreaterThan(0);
      for (const page of pages) {
        const [short, long] = [Math.min(...page), Math.max(...page)];
        expect(Math.abs(short - Math.min(widthMm, heightMm!))).toBeLessThan(0.1);
        expect(Math.abs(long - Math.max(widthMm, heightMm!))).toBeLessThan(0.1);
      }
    },
  );

  it.each([0, 60])(
    "cut along its lines and joined, makes the whole picture again, pixel by pixel, sharpened by %i %%",
    async (sharpening) => {
      const film = { filmWidthMm: 70, filmHeightMm: 60, overlapMm: 8, sharpening };
      const whole = await greys(await ask({ sharpening }));
      const wish = negativeRequestSchema.parse({ ...usual, ...film });
      const layout = negativeLayout(wish, size);
      expect(layout.pages.length).toBeGreaterThan(3);
      const joined = Buffer.alloc(layout.widthPx * layout.heightPx, 7);
      for (const [index, page] of layout.pages.entries()) {
        const tile = await ask({ ...film, tile: index + 1 });
        const { width = 0, height = 0 } = await sharp(tile).metadata();
        expect([width, height]).toEqual([Math.round((70 / 25.4) * 100), Math.round((60 / 25.4) * 100)]);
        const pixels = await greys(tile);
        const { keep, part, left, top } = page;
        for (let y = keep.y; y < keep.y + keep.height; y++) {
          for (let x = keep.x; x < keep.x + keep.width; x++) {
            const at = (top + y - part.y) * width + left + x - part.x;
            joined[y * layout.widthPx + x] = pixels[at]!;
          }
        }
      }
      expect(joined.equals(whole)).toBe(true);
    },
  );

  it("has its cutting lines just outside what is kept, and on no side without a neighbour", async () => {
    const film = { filmWidthMm: 70, filmHeightMm: 200, overlapMm: 8 };
    const { pages } = negativeLayout(negativeRequestSchema.parse({ ...usual, ...film }), size);
    const first = pages[0]!;
    const cut = first.left + first.keep.width;
    expect(first.marks).toHaveLength(2);
    for (const { x } of first.marks) expect(x).toBe(cut);
    // The line itself, on the film: two dark strokes in the paper-white margin above and below the picture.
    const pixels = await greys(await ask({ ...film, tile: 1 }));
    const row = (first.marks[0]!.y + 2) * first.widthPx;
    expect([pixels[row + cut - 1], pixels[row + cut]]).toEqual([0, 255]);
    expect(first.keep.x + first.keep.width).toBe(pages[1]!.keep.x);
  });

  it.skipIf(!has("pdftotext"))("in several sheets, ends with a page that shows how they lie", async () => {
    const film = { filmWidthMm: 70, filmHeightMm: 60, overlapMm: 8, mirror: true };
    const file = saved(await ask({ format: "pdf", ...film }), "sheets.pdf");
    const { stdout } = spawnSync("pdftotext", [file, "-"], { encoding: "utf8" });
    expect(stdout).toMatch(/9 sheets, 3 across and 3 down/);
    expect(stdout).toMatch(/sheet 1 is then at the top right/);
    for (let sheet = 1; sheet <= 9; sheet++) expect(stdout).toMatch(new RegExp(`^${sheet}$`, "m"));
  });

  it("is as high, or as long, as was asked", async () => {
    const tall = await sharp(await ask({ widthMm: undefined, heightMm: 120 })).metadata();
    expect(tall.height).toBe(Math.round((120 / 25.4) * 100));
    const long = await sharp(await ask({ widthMm: undefined, longSideMm: 90 })).metadata();
    expect(long.width).toBe(Math.round((90 / 25.4) * 100));
    const refused = (body: object) =>
      request(app)
        .post("/api/negatives")
        .field("request", JSON.stringify({ ...usual, ...body }))
        .attach("photo", photo, "picture.png")
        .expect(400);
    expect((await refused({ widthMm: undefined })).body).toMatchObject({ field: "widthMm" });
    expect((await refused({ heightMm: 50 })).body).toMatchObject({ field: "widthMm" });
    expect((await refused({ ink: { red: 255, green: 0, blue: 0 } })).body).toMatchObject({ field: "channels" });
  });

  it("in 16 bits, holds the same tones without noise, as PNG and as TIFF", async () => {
    const png = await ask({ bits: 16 });
    expect(await sharp(png).metadata()).toMatchObject({ channels: 1, depth: "ushort", density: 100 });
    const { data, info } = await sharp(png)
      .toColourspace("grey16")
      .raw({ depth: "ushort" })
      .toBuffer({ resolveWithObject: true });
    const wide = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
    const eight = await greys(await ask({}));
    expect(wide.length).toBe(info.width * info.height);
    let farthest = 0;
    for (let i = 0; i < eight.length; i++) farthest = Math.max(farthest, Math.abs(wide[i]! / 257 - eight[i]!));
    expect(farthest).toBeLessThan(1.01);
    const [read] = decode(await ask({ bits: 16, format: "tiff" }));
    expect(read).toMatchObject({ width: info.width, height: info.height, bitsPerSample: 16, xResolution: 100 });
    expect(read!.samplesPerPixel).toBe(1);
    expect(Buffer.from(Uint16Array.from(read!.data).buffer).equals(Buffer.from(wide.slice().buffer))).toBe(true);
  });

  it.each([
    { format: "tiff", bits: 8 },
    { format: "tiff", bits: 16 },
    { format: "png", bits: 16 },
  ] as const)(
    "as RGB $format of $bits bits, carries grey in three channels, or the ink that was asked for",
    async (kind) => {
      const samples = async (body: object): Promise<ArrayLike<number>> => {
        const file = await ask({ ...kind, channels: "rgb", ...body });
        if (kind.format === "tiff") return decode(file)[0]!.data;
        const raw = await sharp(file).toColourspace("rgb16").raw({ depth: "ushort" }).toBuffer();
        return new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2);
      };
      const top = kind.bits === 8 ? 255 : 65_535;
      const plain = await samples({});
      const coloured = await samples({ ink: { red: 255, green: 51, blue: 0 } });
      expect(plain.length).toBe(coloured.length);
      for (let i = 0; i < plain.length; i += 3) {
        const grey = plain[i]!;
        if (plain[i + 1] !== grey || plain[i + 2] !== grey) throw new Error(`not grey at ${i / 3}`);
        const wanted = [top, (top * 51) / 255 + (1 - 51 / 255) * grey, grey];
        for (let channel = 0; channel < 3; channel++)
          if (Math.abs(coloured[i + channel]! - wanted[channel]!) > 1) throw new Error(`wrong ink at ${i / 3}`);
      }
    },
  );

  it("with a grey ink, holds back no more than that ink does", async () => {
    const pixels = await greys(await ask({ ink: { red: 60, green: 60, blue: 60 } }));
    const full = await greys(await ask({}));
    for (let i = 0; i < full.length; i++)
      if (Math.abs(pixels[i]! - (60 + (195 * full[i]!) / 255)) > 0.51) throw new Error(`wrong at ${i}`);
  });

  it.skipIf(!has("pdfimages"))("as PDF of 16 bits in RGB, is read so by poppler", async () => {
    const file = saved(await ask({ format: "pdf", bits: 16, channels: "rgb" }), "deep.pdf");
    const { stdout } = spawnSync("pdfimages", ["-list", file], { encoding: "utf8" });
    expect(stdout.trim().split("\n").at(-1)!.trim().split(/\s+/).slice(5, 8)).toEqual(["rgb", "3", "16"]);
  });
});

describe("film sizes", () => {
  it("of the A series are the trimmed sizes of ISO 216, and inches are exact (from memory)", () => {
    const of = (key: string) => filmSizes.find((film) => film.key === key)!;
    expect(["a5", "a4", "a3", "a2"].map((key) => [of(key).widthMm, of(key).heightMm])).toEqual([
      [148, 210],
      [210, 297],
      [297, 420],
      [420, 594],
    ]);
    expect([of("letter").widthMm, of("letter").heightMm]).toEqual([215.9, 279.4]);
    expect(of("tabloid").heightMm).toBeCloseTo(431.8, 9);
  });
});
