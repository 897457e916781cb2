// What a strip or a sheet answers must not depend on whether the page or the API was asked.
import sharp from "sharp";
import request from "supertest";
import { beforeAll, describe, expect, it } from "vitest";
import { formatDuration } from "#shared/format/duration.ts";
import { sheetDefaults, sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import type { ReadingJob } from "#src/imaging/jobs.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { printAndPhotograph } from "../../bench/closed-loop/print-and-photograph.ts";
import { evenPrintDensity, inventStudio, lightnessOfPrint } from "../../bench/closed-loop/studio.ts";
import { curveImaging, picturedCurve, shoulderAboveMiddle } from "../../support/curve-imaging.ts";
import { fakeImaging, preview } from "../../support/fake-imaging.ts";
import { savedByApi, savedByForm, sendForm } from "../../support/save-by-page-and-api.ts";
import { placesOfBothHalves } from "../../support/studios/places-of-both-halves.ts";
import { saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";
import { testApp } from "../../support/test-app.ts";

// Made here, so that their folders last as long as the file's tests.
const sheetStudio = testApp({
  imaging: fakeImaging({
    "measure-reading": (job) => measureReading(job as ReadingJob),
    preview: (job) => makePreview(job as never),
  }),
});

describe("the print of a wedge sheet on a film too thin for the coating", () => {
  const seed = 44;
  const studio = inventStudio(seed, false, "thin");
  const { app, store } = sheetStudio;
  const materials = saveSampleMaterials(store);
  let [whole, cut]: [Buffer, Buffer] = [Buffer.alloc(0), Buffer.alloc(0)];
  beforeAll(async () => {
    const { png } = await drawSheet({ options: sheetDefaults, paper: "a4", dpi: 150, mirror: true });
    const photo = await printAndPhotograph({ studio, png, options: sheetDefaults, seed, longSidePx: 1600 });
    whole = Buffer.from(photo.jpeg);
    const [right, bottom] = [sheetDefaults.widthMm + 3, sheetLayout().heightMm + 3];
    const rim = [
      [-3, -3],
      [right, -3],
      [right, bottom],
      [-3, bottom],
    ] as const;
    const block = rim.map(([x, y]) => photo.placeOf(x, y).join(" ")).join(" L");
    const { width, height } = photo;
    const beyond =
      `<svg width="${width}" height="${height}"><path fill-rule="evenodd" fill="#6b4a33" ` +
      `d="M0 0H${width}V${height}H0Z M${block}Z"/></svg>`;
    cut = await sharp(photo.jpeg)
      .composite([{ input: Buffer.from(beyond) }])
      .jpeg({ quality: 95 })
      .toBuffer();
  });
  const fields = { ...materials, tabletChoice: "sheet", exposureMinutes: "8", exposureSecondsPart: "0" };
  const asked = { ...materials, tablet: { kind: "sheet" }, exposureSeconds: 480 };
  const curveCodes = async (id: string): Promise<string[]> => {
    const { body } = await request(app).get(`/api/tests/${id}/correction`).expect(200);
    return (body.warnings as { code: string }[]).map(({ code }) => code);
  };
  const lightest = ({ reading }: SavedTest): number =>
    reading.steps.find(({ input }) => input === 255)?.lightness ?? Number.NaN;

  it("counts from the bare paper, tells the veil and never asks for less ink", async () => {
    const [form, api] = [await savedByForm(app, fields, whole), await savedByApi(app, asked, whole)];
    expect(form.saved.reading.steps).toEqual(api.reading.steps);
    expect(api.reading.sheet?.zero?.of).toBe("bare-paper");
    // The veil is the studio's own: what its densest film lets through.
    expect(Math.abs(lightest(api) - lightnessOfPrint(evenPrintDensity(studio, 0)))).toBeLessThan(1.5);
    expect(await curveCodes(api.id)).toContain("highlights-not-held");
    const curve = (await request(app).get(`/tests/${form.id}/correction`).expect(200)).text;
    expect(curve).toMatch(/denser|two films/);
    for (const text of [form.page, curve]) expect(text).not.toMatch(/less ink(?! would make it worse)/i);
    expect(form.page).not.toContain("100.0");
  });

  it("without bare paper in the picture, says what it counts from and gives no advice on ink", async () => {
    const [form, api] = [await savedByForm(app, fields, cut), await savedByApi(app, asked, cut)];
    expect(api.reading.sheet?.zero?.of).toBe("own-white");
    expect(api.reading.warnings.map(({ code }) => code)).toContain("sheet-zero-own-white");
    expect(form.page).toContain("above the sheet");
    const curve = (await request(app).get(`/tests/${form.id}/correction`).expect(200)).text;
    for (const text of [form.page, curve]) expect(text).not.toMatch(/less ink(?! would make it worse)/i);
  });
});

describe.each(placesOfBothHalves)("a strip covered in steps in the sun of $city", (place) => {
  const { latitude, longitude, timeZone, summer } = place;
  const { app, store } = testApp({ imaging: fakeImaging({ preview }) });
  const materials = saveSampleMaterials(store);
  const picture = Buffer.from("strip");
  const sun = { latitude, longitude, timeZone, startedAt: summer, tiltDegrees: 0, facingDegrees: place.equator };
  const fields = {
    ...materials,
    tabletChoice: "timed",
    timedTimes: "32 16 8 4 2 1",
    sunLatitude: String(latitude),
    sunLongitude: String(longitude),
    sunTimeZone: timeZone,
    sunStartedAt: summer.slice(0, 16),
  };

  it("asks whether plain numbers are minutes, and then is the strip that the API names in seconds", async () => {
    const asked = await sendForm(app, fields, picture).expect(400);
    expect(asked.text).toContain("Are these minutes or seconds?");
    expect(store.tests.list().tests).toHaveLength(0);
    const { saved } = await savedByForm(app, { ...fields, timedUnit: "minutes" }, picture);
    const tablet = { kind: "timed", seconds: [1920, 960, 480, 240, 120, 60] };
    const api = await savedByApi(app, { ...materials, tablet, sun }, picture);
    expect(saved.request.tablet).toEqual(tablet);
    expect(saved.request.sun).toMatchObject(sun);
    expect({ exposure: saved.exposure, sun: saved.request.sun }).toMatchObject({
      exposure: api.exposure,
      sun: api.request.sun,
    });
  });

  it("is taught in one way with one picture, and its series is there to choose", async () => {
    const first = (await request(app).get("/sun").expect(200)).text;
    expect(first).toContain("cover one more strip after 1, 1, 2, 4, 8 and 16 minutes");
    expect(first).not.toMatch(/uncover (it )?(strip by strip|in steps)/i);
    const href = /href="(\/tests\/new\?tabletChoice=timed[^"]*)"/.exec(first)?.[1]?.replaceAll("&amp;", "&") ?? "";
    const form = (await request(app).get(href).expect(200)).text;
    expect(form).toContain("Cover nothing at first");
    expect(form).toContain('class="strip-cover"');
    expect(new URL(href, "http://127.0.0.1").searchParams.get("timedSeries")).toBe("1920-6-1");
    expect(form).toMatch(/value="1920-6-1"[^>]*selected/);
  });
});

describe("a tablet test that ends near the shoulder", () => {
  const { app, store } = testApp({ imaging: curveImaging({ preview }) });
  const materials = saveSampleMaterials(store);
  /** The coating's half lies at log H 2; the film over it has a density of 0.1. */
  const trueSeconds = 10 ** (2 + shoulderAboveMiddle + 0.1);

  // Steps from 60 % of the deepest blue to 95 % of it, and one with room to spare.
  it.each([0.6, 0.8, 0.86, 0.9, 0.93, 0.95, 0.99])(
    "whose darkest step reaches %f of it, bounds the time truly and asks for no test out of all proportion",
    async (share) => {
      const exposureSeconds = Math.round(10 ** (2 + Math.log(share / (1 - share)) / 4 + 0.05));
      const picture = picturedCurve({ middle: 2, net: 1.4, exposureSeconds, seed: Math.round(share * 1000) });
      const form = await savedByForm(
        app,
        {
          ...materials,
          tabletChoice: "even-21",
          exposureMinutes: String(Math.floor(exposureSeconds / 60)),
          exposureSecondsPart: String(exposureSeconds % 60),
        },
        picture,
      );
      const { exposure } = await savedByApi(app, { ...materials, tablet: tablet21, exposureSeconds }, picture);
      expect(form.saved.exposure).toEqual(exposure);
      if (exposure.lowerSeconds !== null) expect(exposure.lowerSeconds).toBeLessThan(trueSeconds * 1.05);
      if (exposure.upperSeconds !== null) expect(exposure.upperSeconds).toBeGreaterThan(trueSeconds / 1.05);
      const shown = exposure.seconds ?? exposure.nextTestSeconds ?? Number.NaN;
      expect(form.page).toContain(formatDuration(shown));
      if (exposure.seconds === null) {
        expect(exposure.verdict).toBe("test-too-short");
        expect(shown).toBeGreaterThan(exposureSeconds);
        expect(shown).toBeLessThanOrEqual((share > 0.85 ? 4 : 8) * exposureSeconds);
      }
      if (share > 0.85) expect(form.page).not.toContain("so little blue");
      if (share > 0.98) expect(exposure.verdict).toBe("ok");
    },
  );
});

describe("a strip whose place is doubted", () => {
  it("is shown cut out, level and whole right after the verdict, where the API says that it was read", async () => {
    const density = logistic({ net: 1.4, middle: 2 });
    const { app, store } = testApp({
      imaging: fakeImaging({
        preview,
        "measure-reading": (job) => {
          const { tablet } = (job as ReadingJob).request;
          const reading = syntheticReading({ tablet, exposureSeconds: 1200, density });
          const location = { ...reading.location, method: "found" as const, confidence: 0.89 };
          const image = { ...reading.image, profile: { code: "untagged" as const } };
          return { ...reading, image, location, warnings: [{ code: "location-uncertain" as const, confidence: 0.89 }] };
        },
      }),
    });
    const materials = saveSampleMaterials(store);
    const fields = { ...materials, tabletChoice: "even-21", exposureMinutes: "20", exposureSecondsPart: "0" };
    const { page, saved } = await savedByForm(app, fields, Buffer.from("small strip"));
    const asked = { ...materials, tablet: tablet21, exposureSeconds: 1200 };
    const api = await savedByApi(app, asked, Buffer.from("small strip"));
    expect(api.warnings.map(({ code }) => code)).toContain("location-uncertain");
    expect(saved.reading).toEqual(api.reading);
    const verdict = page.indexOf("if the steps are in their place");
    const cut = page.indexOf('class="strip-cutout"');
    expect(verdict).toBeGreaterThan(0);
    expect(cut).toBeGreaterThan(verdict);
    expect(cut).toBeLessThan(page.indexOf('class="result-curve"'));
    const view = /viewBox="([^"]*)"/.exec(page.slice(cut))?.[1] ?? "";
    const [x = NaN, , width = NaN] = view.split(" ").map(Number);
    const along = api.reading.location.corners.map(([at]) => at);
    expect(x).toBeLessThanOrEqual(Math.min(...along));
    expect(x + width).toBeGreaterThanOrEqual(Math.max(...along));
  });
});
