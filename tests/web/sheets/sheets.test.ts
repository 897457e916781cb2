import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { drawSheet, type SheetDrawing } from "#src/imaging/draw-sheet.ts";
import { saveCheckSheet } from "../../support/pictures/check-sheet.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

const app = () => testApp({ imaging: fakeImaging({ "draw-sheet": (job) => drawSheet(job as SheetDrawing) }) }).app;
const binary = (ask: request.Test) =>
  ask.buffer(true).parse((response, done) => {
    const chunks: Buffer[] = [];
    response.on("data", (chunk: Buffer) => chunks.push(chunk));
    response.on("end", () => done(null, Buffer.concat(chunks)));
  });

/** Mean grey of a patch's middle in the file. */
async function patchGrey(png: Buffer, dpi: number, mirrored: boolean, index: number, options = {}): Promise<number> {
  const layout = sheetLayout(options);
  const page = sheetPage(layout, "a4");
  const patch = layout.patches[index]!;
  const { data, info } = await sharp(png).greyscale().raw().toBuffer({ resolveWithObject: true });
  const x = Math.round(((page.block.xMm + patch.xMm + patch.sizeMm / 2) * dpi) / 25.4);
  const y = Math.round(((page.block.yMm + patch.yMm + patch.sizeMm / 2) * dpi) / 25.4);
  return data[(y * info.width + (mirrored ? info.width - 1 - x : x)) * info.channels] as number;
}

describe("GET /api/sheets/default.png", () => {
  it("gives a grey page at true size whose clear parts are those that print darkest", async () => {
    const response = await binary(request(app()).get("/api/sheets/default.png?dpi=150"));
    expect(response.status).toBe(200);
    const png = response.body as Buffer;
    const meta = await sharp(png).metadata();
    expect([meta.width, meta.height, meta.channels, Math.round(meta.density ?? 0)]).toEqual([1240, 1754, 1, 150]);
    // pHYs: 150 dots an inch are 5906 a metre (ISO/IEC 15948).
    const phys = png.indexOf("pHYs");
    expect([png.readUInt32BE(phys + 4), png.readUInt32BE(phys + 8), png[phys + 12]]).toEqual([5906, 5906, 1]);
    const layout = sheetLayout();
    for (const index of [0, 1, 30, 100])
      expect(await patchGrey(png, 150, true, index)).toBe(255 - layout.patches[index]!.level);
  });

  it("unmirrored, puts the same patches the other way round", async () => {
    const response = await binary(
      request(app()).get("/api/sheets/default.png?dpi=100&mirror=false&levels=21&replicates=3&widthMm=120"),
    );
    const layout = sheetLayout({ levels: 21, replicates: 3, widthMm: 120 });
    for (const index of [0, 5, 40])
      expect(await patchGrey(response.body as Buffer, 100, false, index, layout.options)).toBe(
        255 - layout.patches[index]!.level,
      );
  });

  it.each([
    ["levels=3", "levels"],
    ["levels=many", "levels"],
    ["replicates=0", "replicates"],
    ["widthMm=500", "widthMm"],
    ["levels=128&replicates=8&widthMm=80", "levels"],
    ["paper=a0", "paper"],
    ["dpi=5000", "dpi"],
    ["mirror=perhaps", "mirror"],
  ])("asked for %s, names the field at fault", async (query, field) => {
    const response = await request(app()).get(`/api/sheets/default.png?${query}`);
    expect(response.status).toBe(400);
    expect(response.headers["content-type"]).toContain("application/problem+json");
    expect(response.body).toMatchObject({ status: 400, field });
  });
});

describe("GET /api/sheets/default.pdf", () => {
  it.each([
    ["a4", "595.276 x 841.89 pts (A4)"],
    ["letter", "612 x 792 pts (letter)"],
  ])("on %s film, has that page and a picture of 150 dots an inch, by an independent reader", async (paper, size) => {
    const response = await binary(request(app()).get(`/api/sheets/default.pdf?paper=${paper}&dpi=150`));
    expect(response.headers["content-type"]).toBe("application/pdf");
    const pdf = response.body as Buffer;
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    const file = join(temporaryFolder(), "sheet.pdf");
    writeFileSync(file, pdf);
    let info: string;
    try {
      info = execFileSync("pdfinfo", [file], { encoding: "utf8" });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
      // Without poppler's tools on this machine, the page box at least.
      expect(pdf.toString("latin1")).toContain(paper === "a4" ? "[0 0 595.27" : "[0 0 612 792]");
      return;
    }
    expect(info).toContain(size);
    expect(info).toMatch(/Pages:\s+1\b/);
    const [line] = execFileSync("pdfimages", ["-list", file], { encoding: "utf8" }).trim().split("\n").slice(2) as [
      string,
    ];
    const columns = line.trim().split(/\s+/);
    expect(columns.slice(5, 8)).toEqual(["gray", "1", "8"]);
    expect(columns.slice(12, 14)).toEqual(["150", "150"]);
  });
});

describe("GET /tests/:id/sheet-check", () => {
  it.each([
    ["lightness", "density"],
    ["density", "lightness"],
  ] as const)("of a sheet printed for even %s, leads to the refined curve for the same", async (target, other) => {
    const { app: served, store } = testApp();
    const id = await saveCheckSheet(store, { printedFor: target });
    const page = await request(served).get(`/tests/${id}/sheet-check`).expect(200);
    const own = (await request(served).get(`/tests/${id}`).expect(200)).text;
    expect(own).toContain(`href="/tests/${id}/sheet-check"`);
    const href =
      /<a class="button" href="([^"]+)">(?:(?!<\/a>)[\s\S])*The refined curve<\/a>/.exec(page.text)?.[1] ?? "";
    const shown = await request(served).get(href).expect(200);
    expect(shown.text).toMatch(/Refined from<\/dt><dd>[^<]+, and [^<]+<\/dd>/);
    const check = await request(served).get(`/api/tests/${id}/sheet-check`).expect(200);
    const levels = async (of: string): Promise<number[]> =>
      (await request(served).get(`/api/tests/${id}/correction?target=${of}`).expect(200)).body.levels;
    // The page's files are made by the address that gives the levels which the check promised.
    expect(shown.text.includes("correction.csv?target=density")).toBe(target === "density");
    expect(check.body.refinedLevels).toEqual(await levels(target));
    expect(check.body.refinedLevels).not.toEqual(await levels(other));
  });

  it("of a sheet that is not straight yet, names in its advice the correction to use", async () => {
    const { app: served, store } = testApp();
    const id = await saveCheckSheet(store, { printedFor: "lightness", marked: "density" });
    const check = await request(served).get(`/api/tests/${id}/sheet-check`).expect(200);
    expect(check.body.advice).toContain("correction for even steps of density");
  });
});
