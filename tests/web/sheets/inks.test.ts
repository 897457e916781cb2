// The ink sheet by page and API: drawn by the real drawing, printed by the simulated studio, read back.
import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { inkMask, inkSheetOptions } from "#shared/tablet/film-inks.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { inkSheetRequestSchema } from "#shared/schema/ink.ts";
import { drawSheet, type SheetDrawing } from "#src/imaging/draw-sheet.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { measureInkSheet, type InkSheetJob } from "#src/imaging/sheet/measure-sheet.ts";
import { makeInkSheet } from "#src/studio/negatives/make-sheet.ts";
import { readInkSheet } from "#src/studio/negatives/read-ink-sheet.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import { inkSheetPhoto } from "../../bench/closed-loop/inks.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { testApp } from "../../support/test-app.ts";

const imaging = fakeImaging({
  "draw-sheet": (job) => drawSheet(job as SheetDrawing),
  "measure-ink-sheet": (job) => measureInkSheet(job as InkSheetJob),
});
const { app, store } = testApp({ imaging });
const inks = ["black", "green"] as const;
const photo = await inkSheetPhoto(3, "fitting", inks);

describe("GET /api/sheets/ink.png", () => {
  it("prints each patch in its own ink and amount, in RGB", async () => {
    const { body } = await request(app).get("/api/sheets/ink.png?inks=black,green&dpi=100&mirror=false").expect(200);
    const { data, info } = await sharp(body as Buffer)
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(info.channels).toBe(3);
    const layout = sheetLayout(inkSheetOptions({ inks }));
    const { block } = sheetPage(layout, "a4");
    const steps = layout.options.levels / 2;
    for (const patch of [layout.patches[3]!, layout.patches[60]!, layout.patches[101]!]) {
      const [x, y] = [block.xMm + patch.xMm + patch.sizeMm / 2, block.yMm + patch.yMm + patch.sizeMm / 2];
      const at = (Math.round((y / 25.4) * 100) * info.width + Math.round((x / 25.4) * 100)) * 3;
      const left = Math.round(255 * (1 - Math.floor(patch.levelIndex / 2) / (steps - 1)));
      expect([...data.subarray(at, at + 3)]).toEqual([left, patch.levelIndex % 2 === 0 ? left : 255, left]);
    }
  });

  it("refuses an ink that it does not know, and too many amounts", async () => {
    await request(app).get("/api/sheets/ink.pdf?inks=gold").expect(400);
    await request(app).get("/api/sheets/ink.pdf?inks=black,red,green,blue&amounts=64").expect(400);
    const file = await makeInkSheet({ imaging }, { request: inkSheetRequestSchema.parse({ dpi: 100 }), format: "pdf" });
    expect(file.name).toBe("ink-sheet-black-160mm-a4.pdf");
  });
});

describe("the print of an ink sheet", () => {
  it("tells by the API how much of each ink keeps the paper white, strongest first", async () => {
    const { body } = await request(app)
      .post("/api/ink-sheets")
      .field("request", "{}")
      .attach("photo", Buffer.from(photo), "inks.jpg")
      .expect(200);
    const answer = body as Awaited<ReturnType<typeof readInkSheet>>;
    expect(answer.inks.map(({ ink }) => ink)).toEqual(expect.arrayContaining(["black", "green"]));
    expect(answer.finding.code).toBe("ink-enough");
    expect(answer.warnings.map(({ code }) => code)).toContain("ink-no-curve");
    const own = await readInkSheet({ store, imaging }, { picture: photo, request: {} });
    expect(own.inks).toEqual(answer.inks);
  });

  it("tells it on the page without script, and leads to a wedge sheet in that ink", async () => {
    const { text } = await request(app)
      .post("/sheets/inks")
      .field("curveTestId", "")
      .attach("photo", Buffer.from(photo), "inks.jpg")
      .expect(200);
    expect(text).toMatch(/answer-time">\d+ %</);
    expect(text).toMatch(/href="\/sheets\?ink=[0-9a-f]{6}"/);
  });

  it("is no test of grey levels, and a picture without one is refused in plain words", async () => {
    const asTest = measureReading({ picture: photo, request: { tablet: { kind: "sheet" } } });
    const said = await asTest.catch(errorInWords);
    expect(said).toMatchObject({ detail: expect.stringContaining("ink sheet") as string });
    const plain = await sharp({ create: { width: 400, height: 300, channels: 3, background: "#eee" } })
      .png()
      .toBuffer();
    const { text } = await request(app).post("/sheets/inks").attach("photo", plain, "plain.png").expect(422);
    expect(text).toContain("No wedge sheet was found");
    expect(inkMask(["black"])).toBe(1);
  });
});
