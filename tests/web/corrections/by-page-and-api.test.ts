// What a tone curve is and what is said of it must not depend on whether the page or the API was asked.
import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveCheckSheet } from "../../support/pictures/check-sheet.ts";
import { hasPoppler, pdfFacts } from "../../support/pictures/pdf-facts.ts";
import { printedDensity, printedLightness, usualPrint } from "../../support/pictures/printed-strip.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { levelsReading, saveLevelsTest } from "../../support/studios/levels-test.ts";
import { sampleTestRecord, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const { app, store } = testApp({ imaging: fakeImaging({ preview: (job) => makePreview(job as never) }) });
const page = async (path: string): Promise<string> =>
  (await request(app).get(path).set("Accept", "text/html").expect(200)).text;
const curveOf = async (id: string) => (await request(app).get(`/api/tests/${id}/correction`).expect(200)).body;

/** A sheet's or strip's test as the program itself judges it, with a picture that can be shown. */
async function saveTones(warnings: { code: string; message: string }[] = []): Promise<string> {
  const bytes = await sharp({ create: { width: 60, height: 20, channels: 3, background: "#8899aa" } })
    .jpeg()
    .toBuffer();
  const pictureId = store.pictures.keep(await store.pictures.write(bytes));
  const levels = Array.from({ length: 32 }, (_, index) => (255 * index) / 31);
  const record = sampleTestRecord(saveSampleMaterials(store), pictureId, {
    tablet: { kind: "levels", levels },
    name: "Tones",
  });
  const reading = { ...levelsReading(usualPrint, 32), warnings };
  const assessed = assessTest({ request: record.request, reading, filmDensity: 0 } as never);
  const { curve, exposure } = { ...record, ...assessed, exposure: record.exposure } as typeof record;
  const judged = { ...exposure, seconds: null, lowerSeconds: null, upperSeconds: null, nextTestSeconds: null };
  return store.transaction(() => store.tests.save({ ...record, curve, exposure: judged, reading }).id);
}

describe("a strip or sheet of grey levels", () => {
  it("is called good for tones, never for a time, and its report holds the curve and its points", async () => {
    const id = await saveTones();
    const text = await page(`/tests/${id}`);
    expect(text).toContain("This print is for the tone curve");
    expect(text).not.toContain("so the time can be read from it");
    const saved = (await request(app).get(`/api/tests/${id}`).expect(200)).body;
    expect(saved.exposure.seconds).toBeNull();
    const { points } = await curveOf(id);
    const report = await request(app).get(`/tests/${id}/report.pdf`).buffer(true).expect(200);
    expect(report.headers["content-type"]).toMatch(/pdf/);
    if (!hasPoppler) return;
    const printed = pdfFacts(report.body as Buffer).text.replace(/\s+/g, " ");
    expect(printed).not.toContain("No time from this test");
    for (const { input, output } of points as { input: number; output: number }[])
      expect(printed).toContain(`${input} to ${output}`);
  });

  it("read from a camera's picture without greys to check it by, says how far its tones may be off", async () => {
    const id = await saveTones([{ code: "tone-unchecked", message: "Not checked." }]);
    const { warnings } = await curveOf(id);
    const said = (warnings as { code: string; message: string }[]).find(({ code }) => code === "tones-by-camera");
    expect(said?.message).toMatch(/off by up to L\* 3.*scan the sheet, or lay grey patches/);
    expect(await page(`/tests/${id}/correction`)).toContain("scan the sheet, or lay grey patches");
    const checked = await saveTones();
    const codes = ((await curveOf(checked)).warnings as { code: string }[]).map(({ code }) => code);
    expect(codes).not.toContain("tones-by-camera");
  });
});

describe("a sheet printed through a curve", () => {
  it("leads from its own page to how straight it came out, as far off as its print truly is", async () => {
    const id = await saveCheckSheet(store, { printedFor: "lightness" });
    const own = await page(`/tests/${id}`);
    const place = own.indexOf(`href="/tests/${id}/sheet-check"`);
    expect(place).toBeGreaterThan(0);
    const { body } = await request(app).get(`/api/tests/${id}/sheet-check`).expect(200);
    const sent = (await curveOf(body.throughTestId)).levels as number[];
    // Straight is even steps of L* between the print's own ends.
    const lightness = (level: number): number => printedLightness(printedDensity(usualPrint, sentAt(sent, level)));
    const off = Array.from({ length: 30 }, (_, index) => (255 * (index + 1)) / 31).map((level) =>
      Math.abs(lightness(level) - (lightness(0) + (level / 255) * (lightness(255) - lightness(0)))),
    );
    expect(body.after.mean).toBeCloseTo(off.reduce((sum, each) => sum + each) / off.length, 1);
    const shown = /answer-time">([\d.]+)</.exec(await page(`/tests/${id}/sheet-check`))?.[1];
    expect(Number(shown)).toBeCloseTo(body.after.mean, 1);
    const refined = await page(`/tests/${id}/correction`);
    expect(refined).toContain("This curve is refined");
    expect(refined).toMatch(/Refined from<\/dt><dd>[^<]+, and [^<]+<\/dd>/);
  });

  it("saved with another light than the test that it was printed through, is told so and what to change", async () => {
    const id = await saveCheckSheet(store, { printedFor: "lightness" });
    const codes = async (): Promise<string[]> =>
      ((await curveOf(id)).warnings as { code: string }[]).map(({ code }) => code);
    expect(await codes()).not.toContain("check-of-other-materials");
    const other = store.lamps.create({ name: "Other box", notes: "", kind: "led", archived: false }).id;
    const test = store.tests.get(id);
    store.transaction(() => store.tests.replace(id, { ...test, request: { ...test.request, lampId: other } }));
    expect(await codes()).toContain("check-of-other-materials");
    expect(await page(`/tests/${id}/correction`)).toContain("This check sheet was saved with another light than");
  });

  it("a first sheet's curve is not called refined", async () => {
    const { id } = await saveLevelsTest(store);
    expect(await page(`/tests/${id}/correction`)).not.toContain("This curve is refined");
    await request(app).get(`/api/tests/${id}/sheet-check`).expect(409);
  });
});
