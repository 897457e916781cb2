// Negatives and sheets as files, and negatives that nobody waits for. The drawing itself is made up here.
import { existsSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, vi } from "vitest";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { sheetRequestSchema } from "#shared/schema/sheet.ts";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { makeNegative } from "#src/studio/negatives/make-negative.ts";
import { makeSheet } from "#src/studio/negatives/make-sheet.ts";
import { negativeJobs } from "#src/studio/negatives/negative-jobs.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

async function page() {
  const packer = new RowPacker({ width: 20, height: 10, bits: 8, channels: 1 });
  for (let y = 0; y < 10; y++) await packer.row(new Uint8Array(20).fill(y));
  return packer.end();
}

async function studio() {
  // 787 pixels are 100 mm at 200 per inch.
  const sheets = [{ picture: await page(), filmMm: null }];
  const drawn = { sheets, rows: 1, columns: 1, widthPx: 787, heightPx: 10, warnings: [] };
  const jobs: { caption: string; tone: { length: number } }[] = [];
  const imaging = fakeImaging({
    "draw-negative": (job) => {
      jobs.push(job as (typeof jobs)[number]);
      return drawn;
    },
    "draw-sheet": () => ({ png: new Uint8Array([1, 2, 3]), widthPx: 2480, heightPx: 3508 }),
  });
  const { store } = testApp({ imaging });
  const { id } = await saveLevelsTest(store);
  const wish = (changes: object = {}) => ({
    request: negativeRequestSchema.parse({ testId: id, widthMm: 100, dpi: 200, ...changes }),
    file: "picture",
    workFolder: mkdtempSync(join(temporaryFolder(), "work-")),
  });
  return { store, imaging, wish, jobs };
}

describe("makeNegative", () => {
  it("draws through the curve of the test, and gives the file its kind and a name that tells what it is", async () => {
    const { store, imaging, wish, jobs } = await studio();
    const png = await makeNegative(
      { store, imaging },
      wish({ format: "png", caption: true, captionDate: "2026-05-01" }),
    );
    expect(png.type).toBe("image/png");
    expect(Buffer.from(png.bytes).toString("latin1", 1, 4)).toBe("PNG");
    expect(png.nameWords).toEqual(expect.arrayContaining(["negative", "Strip on cotton, box 2", "100mm", "200dpi"]));
    expect(jobs[0]?.caption).toMatch(/^Strip on cotton, box 2, Box, Paper, Blue, .*, 2026-05-01$/);
    const pdf = await makeNegative({ store, imaging }, wish({ format: "pdf" }));
    expect(pdf.type).toBe("application/pdf");
    expect(Buffer.from(pdf.bytes).toString("latin1", 0, 5)).toBe("%PDF-");
  });

  it("when the test is not there, draws nothing", async () => {
    const { store, imaging, wish } = await studio();
    await expect(makeNegative({ store, imaging }, wish({ testId: "nope" }))).rejects.toThrow(
      expect.objectContaining({ field: "testId" }),
    );
    expect(imaging.asked).toEqual([]);
  });
});

describe("negativeJobs", () => {
  const ended = async (state: () => string): Promise<void> => {
    while (state() === "working") await new Promise((resolve) => setTimeout(resolve, 5));
  };

  it("makes one in the background, keeps its file for half an hour, and forgets it with its folder", async () => {
    const { store, imaging, wish } = await studio();
    let now = 0;
    const jobs = negativeJobs({ store, imaging }, () => now);
    const asked = wish({ format: "png" });
    const id = jobs.start(asked);
    await ended(() => jobs.progress(id).state);
    expect(jobs.progress(id)).toMatchObject({ state: "done", share: 1 });
    expect(readFileSync(jobs.file(id).path).toString("latin1", 1, 4)).toBe("PNG");
    now += 29 * 60_000;
    expect(jobs.progress(id).state).toBe("done");
    now += 2 * 60_000;
    expect(() => jobs.progress(id)).toThrow(expect.objectContaining({ code: "not-found" }));
    expect(existsSync(asked.workFolder)).toBe(false);
  });

  it("when it fails, says why; cancelled, is forgotten", async () => {
    const { store, imaging, wish } = await studio();
    const jobs = negativeJobs({ store, imaging });
    const failing = jobs.start(wish({ testId: "nope" }));
    await ended(() => jobs.progress(failing).state);
    expect(jobs.progress(failing)).toMatchObject({ state: "failed", detail: expect.stringContaining('"nope"') });
    expect(() => jobs.file(failing)).toThrow(expect.objectContaining({ code: "not-found" }));
    jobs.cancel(failing);
    expect(() => jobs.progress(failing)).toThrow(expect.objectContaining({ code: "not-found" }));
  });
});

describe("a negative that is cancelled while it is made", () => {
  it("leaves its folder until its making ends, whatever still writes there, and no longer", async () => {
    const { store, wish } = await studio();
    let endDrawing = (): void => undefined;
    const drawing = new Promise<void>((resolve) => {
      endDrawing = resolve;
    });
    const asked = wish();
    const imaging = fakeImaging({
      "draw-negative": async () => {
        await drawing;
        writeFileSync(join(asked.workFolder, "half-drawn"), "x");
        throw new Error("stopped");
      },
    });
    const jobs = negativeJobs({ store, imaging });
    const id = jobs.start(asked);
    await vi.waitFor(() => expect(imaging.asked).toContain("draw-negative"));
    jobs.cancel(id);
    expect(() => jobs.progress(id)).toThrow(expect.objectContaining({ code: "not-found" }));
    expect(existsSync(asked.workFolder)).toBe(true);
    endDrawing();
    await vi.waitFor(() => expect(existsSync(asked.workFolder)).toBe(false));
  });
});

describe("makeSheet", () => {
  it("gives the drawn picture as it is, or a PDF page of the paper's size", async () => {
    const { imaging } = await studio();
    const request = sheetRequestSchema.parse({ paper: "a4" });
    const png = await makeSheet({ imaging }, { request, format: "png" });
    expect([...png.bytes]).toEqual([1, 2, 3]);
    expect(png.name).toBe("wedge-sheet-41x4-160mm-a4.png");
  });

  it("when the patches would be too small, says so before anything is drawn", async () => {
    const { imaging } = await studio();
    const request = sheetRequestSchema.parse({ levels: "128", replicates: "8", widthMm: "80" });
    await expect(makeSheet({ imaging }, { request, format: "png" })).rejects.toThrow(
      expect.objectContaining({ name: "InputError", code: "bad-request" }),
    );
    expect(imaging.asked).toEqual([]);
  });
});
