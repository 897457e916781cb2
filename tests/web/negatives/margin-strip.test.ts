// The small strip in the margin, from the film file over an invented print and its photo to the curve that it mends.
import { join } from "node:path";
import sharp from "sharp";
import request from "supertest";
import { afterAll, describe, expect, it } from "vitest";
import { stripLevels } from "#shared/correction/strip/margin-strip.ts";
import { negativeLayout } from "#shared/correction/layout/negative-layout.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { changeMadeNegative, forgetMadeNegative } from "#src/studio/negatives/change-made-negative.ts";
import { rootDir } from "#src/settings.ts";
import { printedDensity, printedLightness, usualPrint } from "../../support/pictures/printed-strip.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { testApp } from "../../support/test-app.ts";

const imaging = createImagingPool({ workerFile: join(rootDir, ".build", "imaging-worker.mjs"), threads: 1 });
const { app, store } = testApp({ imaging });
const { id: testId, materials } = await saveLevelsTest(store);
afterAll(() => imaging.close());

const size = { width: 300, height: 200 };
const photo = await sharp({
  create: { ...size, channels: 3, background: "#808080", noise: { type: "gaussian", mean: 128, sigma: 40 } },
})
  .png()
  .toBuffer();
const wish = { testId, widthMm: 120, dpi: 150, mirror: false, format: "png", marginMm: 8, marginStrip: true };
const layout = negativeLayout(negativeRequestSchema.parse(wish), size);
const page = layout.pages[0]!;
const strip = page.strip!;

const answer = await request(app)
  .post("/api/negatives")
  .field("request", JSON.stringify(wish))
  .attach("photo", photo, "harbour.png")
  .expect(200);
const madeId = String(answer.headers["wedgewright-negative"]);
const { levels } = (await request(app).get(`/api/tests/${testId}/correction`)).body as { levels: number[] };
const film = await sharp(answer.body as Buffer)
  .toColourspace("b-w")
  .raw()
  .toBuffer();

/** Mean film value of the middle of a patch. */
function patchMean(patch: number): number {
  const wide = strip.area.width / strip.patches;
  let [sum, count] = [0, 0];
  for (let y = strip.area.y + 4; y < strip.area.y + strip.area.height - 4; y++) {
    for (let x = Math.ceil(strip.area.x + patch * wide + 4); x < strip.area.x + (patch + 1) * wide - 4; x++, count++)
      sum += film[y * page.widthPx + x]!;
  }
  return sum / count;
}

/** An invented print of the film on pale paper, as a grey picture; `shift` darkens every tone alike. */
async function printOf(shift = 1): Promise<Buffer> {
  const border = 120;
  const width = page.widthPx + 2 * border;
  const pixels = Buffer.alloc(width * (page.heightPx + 2 * border));
  const code = (density: number) => {
    const light = 0.8 * 10 ** -density;
    return Math.round(255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055));
  };
  const table = Array.from({ length: 256 }, (_, value) => code(shift * printedDensity(usualPrint, 255 - value)));
  pixels.fill(code(0));
  for (let y = 0; y < page.heightPx; y++)
    for (let x = 0; x < page.widthPx; x++)
      pixels[(y + border) * width + x + border] = table[film[y * page.widthPx + x]!]!;
  return sharp(pixels, { raw: { width, height: page.heightPx + 2 * border, channels: 1 } })
    .blur(0.7)
    .toColourspace("srgb")
    .withIccProfile("srgb")
    .png()
    .toBuffer();
}

async function readStrip(picture: Buffer): Promise<string> {
  const { x, y, width, height } = strip.area;
  const [left, top] = [x + 120, y + 120];
  const corners = [
    [left, top],
    [left + width, top],
    [left + width, top + height],
    [left, top + height],
  ];
  const { body } = await request(app)
    .post("/api/tests")
    .field(
      "request",
      JSON.stringify({
        tablet: { kind: "levels", levels: stripLevels },
        corners,
        ...materials,
        exposureSeconds: 480,
        negativeId: madeId,
        name: "Strip of harbour",
        humidityPercent: 55,
      }),
    )
    .attach("photo", picture, "print.png")
    .expect(201);
  return (body as { id: string }).id;
}

describe("the small strip in the margin of a negative", () => {
  it("holds twelve patches whose means are the curve's own levels for what they want", () => {
    expect(strip.patches).toBe(12);
    stripLevels.forEach((wanted, patch) => {
      const low = Math.floor(wanted);
      const sent = levels[low]! + (wanted - low) * ((levels[low + 1] ?? levels[low]!) - levels[low]!);
      expect(Math.abs(patchMean(patch) - (255 - sent)), `patch ${patch}`).toBeLessThan(0.15);
    });
  });

  it("lies under the picture, inside the block, with a line at each end", () => {
    expect(strip.area.y).toBeGreaterThan(page.top + page.part.height);
    expect(strip.area.y + strip.area.height).toBeLessThan(page.block.y + page.block.height);
    for (const end of strip.ends) expect(film[(end.y + 5) * page.widthPx + end.x]).toBe(255);
  });

  it("read from a print that came out as the curve promised, leaves the curve where it was", async () => {
    const id = await readStrip(await printOf());
    const refined = (await request(app).get(`/api/tests/${id}/correction`).expect(200)).body as { levels: number[] };
    const off = refined.levels.map((level, index) => Math.abs(level - levels[index]!));
    expect(off.slice(20, 200).reduce((sum, each) => sum + each) / 180).toBeLessThan(4);
    const shown = await request(app).get(`/tests/${id}/correction`).expect(200);
    expect(shown.text).toMatch(/Refined from/);
    expect(shown.text).toMatch(/Strip of harbour, and Strip on cotton, box 2/);
  });

  it("read from a print that came out too dark, mends the curve, and the page says how far off it was", async () => {
    const id = await readStrip(await printOf(1.3));
    const refined = (await request(app).get(`/api/tests/${id}/correction`).expect(200)).body as { levels: number[] };
    // Distance of the darker print from even steps between its own ends, through a curve.
    const printed = (level: number) => printedLightness(1.3 * printedDensity(usualPrint, level));
    const meanOff = (curve: readonly number[]) =>
      curve.reduce((sum, level, index) => {
        const even = printed(0) + ((printed(255) - printed(0)) * index) / 255;
        return sum + Math.abs(printed(level) - even);
      }, 0) / 256;
    expect(meanOff(levels)).toBeGreaterThan(1.5);
    expect(meanOff(refined.levels)).toBeLessThan(meanOff(levels) / 2);
    const made = await request(app).get(`/negatives/made/${madeId}`).expect(200);
    expect(made.text).toMatch(/harbour\.png/);
    expect(made.text).toMatch(/Strip of harbour/);
    expect(made.text).toMatch(/55 % humidity/);
    const form = /href="(\/tests\/new\?[^"]*negativeId=[^"]*)"/.exec(made.text)![1]!.replaceAll("&amp;", "&");
    const page = await request(app).get(form).expect(200);
    expect(page.text).toContain(`name="negativeId" value="${madeId}"`);
    expect(page.text).toMatch(/value="levels"[^>]*checked/);
  });

  it("is refused where the picture is too narrow for it", async () => {
    const { body } = await request(app)
      .post("/api/negatives")
      .field("request", JSON.stringify({ ...wish, widthMm: 25 }))
      .attach("photo", photo, "small.png")
      .expect(400);
    expect(body).toMatchObject({ field: "marginStrip" });
  });
});

describe("negatives made", () => {
  it("are listed with their curve, and their settings can be named and chosen again", async () => {
    const [newest] = store.madeNegatives.list();
    expect(newest).toMatchObject({ id: madeId, pictureName: "harbour.png", sheets: 1 });
    expect(newest!.levels).toEqual(levels);
    changeMadeNegative({ store }, madeId, { settingsName: "Harbour size" });
    const list = await request(app).get("/negatives").expect(200);
    expect(list.text).toContain(`/negatives/made/${madeId}`);
    const form = await request(app).get("/negatives/new").expect(200);
    expect(form.text).toContain(`<a href="/negatives/new?like=${madeId}">Harbour size</a>`);
    const again = await request(app).get(`/negatives/new?like=${madeId}`).expect(200);
    expect(again.text).toMatch(/id="widthMm"[^>]*value="120"/);
    expect(again.text).toMatch(/name="marginStrip" value="yes" checked/);
    await request(app)
      .post(`/negatives/made/${madeId}`)
      .type("form")
      .send({ settingsName: "", notes: "x" })
      .expect(303);
    expect(store.madeNegatives.get(madeId)).toMatchObject({ settingsName: "", notes: "x" });
  });

  it("can be taken off the list; a strip of one that is gone gives no curve", async () => {
    const id = await readStrip(await printOf());
    forgetMadeNegative({ store }, madeId);
    await request(app).get(`/negatives/made/${madeId}`).expect(404);
    await request(app).get(`/api/tests/${id}/correction`).expect(409);
  });
});
