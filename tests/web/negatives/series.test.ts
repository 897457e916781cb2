// Several pictures through one curve: a file each, or together on one film, read back by programs that are not ours.
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { unzipSync } from "fflate";
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

const grey = (level: number, width = 60, height = 40) =>
  sharp({ create: { width, height, channels: 3, background: { r: level, g: level, b: level } } })
    .png()
    .toBuffer();
const pictures = [await grey(40), await grey(120, 40, 60), await grey(220)];

/** Sends the pictures, as one would from a program. */
function send(body: object, query = "") {
  const ask = request(app)
    .post(`/api/negatives/series${query}`)
    .field("request", JSON.stringify({ testId, widthMm: 60, dpi: 100, format: "png", ...body }));
  pictures.forEach((picture, index) => void ask.attach("photo", picture, `sea ${index + 1}.png`));
  return ask;
}
/** The file itself, whatever its kind. */
async function fileOf(ask: request.Test): Promise<Buffer> {
  const chunks: Buffer[] = [];
  const collect = (response: request.Response, done: (error: Error | null, body: unknown) => void): void => {
    const stream = response as unknown as NodeJS.ReadableStream;
    stream.on("data", (chunk: Buffer) => chunks.push(chunk));
    stream.on("end", () => done(null, Buffer.concat(chunks)));
  };
  await ask.buffer(true).parse(collect).expect(200);
  return Buffer.concat(chunks);
}
const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;

describe("POST /api/negatives/series", () => {
  it("gives an archive with the file that each picture alone would be, and keeps all on the list", async () => {
    const before = store.madeNegatives.list().length;
    const files = unzipSync(new Uint8Array(await fileOf(send({}))));
    expect(Object.keys(files)).toEqual(["01-sea-1.png", "02-sea-2.png", "03-sea-3.png"]);
    const alone = await request(app)
      .post("/api/negatives")
      .field("request", JSON.stringify({ testId, widthMm: 60, dpi: 100, format: "png" }))
      .attach("photo", pictures[1]!, "sea 2.png")
      .expect(200);
    expect(Buffer.from(files["02-sea-2.png"]!).equals(alone.body as Buffer)).toBe(true);
    const made = store.madeNegatives.list();
    expect(made).toHaveLength(before + 4);
    expect(made.map(({ pictureName }) => pictureName)).toContain("sea 3.png");
  });

  it.skipIf(!has("unzip"))("gives an archive that another program opens", async () => {
    const file = join(temporaryFolder(), "negatives.zip");
    writeFileSync(file, await fileOf(send({})));
    expect(spawnSync("unzip", ["-t", file], { encoding: "utf8" }).stdout).toContain("No errors detected");
  });

  it.skipIf(!has("pdfinfo"))("as a PDF, has a page for each picture", async () => {
    const file = join(temporaryFolder(), "negatives.pdf");
    writeFileSync(file, await fileOf(send({ format: "pdf" })));
    expect(spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout).toMatch(/Pages:\s+3\b/);
  });

  it.skipIf(!has("pdftoppm"))(
    "together, puts them on one film of its own size, mirrored as a whole, dark between them (poppler)",
    async () => {
      const film = { filmWidthMm: 150, filmHeightMm: 160, arrangement: "together", gapMm: 5 };
      const folder = temporaryFolder();
      const file = join(folder, "contact.pdf");
      writeFileSync(file, await fileOf(send(film)));
      const { stdout } = spawnSync("pdfinfo", [file], { encoding: "utf8" });
      expect(stdout).toMatch(/Pages:\s+1\b/);
      const [, widthPt, heightPt] = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(stdout) ?? [];
      expect(Math.abs((Number(widthPt) / 72) * 25.4 - 150)).toBeLessThan(0.1);
      expect(Math.abs((Number(heightPt) / 72) * 25.4 - 160)).toBeLessThan(0.1);
      spawnSync("pdftoppm", ["-r", "100", "-gray", "-png", "-singlefile", file, join(folder, "film")]);
      const { data, info } = await sharp(readFileSync(join(folder, "film.png")))
        .raw()
        .toBuffer({ resolveWithObject: true });
      const at = (xMm: number, yMm: number): number =>
        data[(Math.round((yMm / 25.4) * 100) * info.width + Math.round((xMm / 25.4) * 100)) * info.channels] as number;
      // As the print is read the first lies left; on the mirrored film right. 60 x 40, 60 x 90, 60 x 40 mm.
      const [first, second, third] = [at(150 - 35, 25), at(150 - 100, 50), at(150 - 35, 120)];
      // Darker pictures let more light through: brighter on the film.
      expect(first).toBeGreaterThan(second);
      expect(second).toBeGreaterThan(third);
      expect(at(150 - 67.5, 25)).toBe(0);
      expect(at(2, 2)).toBe(0);
    },
  );

  it("in the background, tells its progress, gives the file, and is cancelled like a single one", async () => {
    const started = await send({}, "?wait=false").expect(202);
    const address = started.headers["location"] as string;
    let progress = started.body as { state: string; file: string };
    for (let tries = 0; progress.state === "working" && tries < 200; tries++) {
      await new Promise((resolve) => setTimeout(resolve, 50));
      progress = (await request(app).get(address).expect(200)).body as typeof progress;
    }
    expect(progress.state).toBe("done");
    const file = await request(app).get(progress.file).buffer(true).expect(200);
    expect(file.headers["content-disposition"]).toContain(".zip");
    const another = await send({}, "?wait=false").expect(202);
    await request(app)
      .delete(another.headers["location"] as string)
      .expect(204);
    await request(app)
      .get(another.headers["location"] as string)
      .expect(404);
  });

  it("refuses a picture larger than the film by its number, and more pictures than it takes", async () => {
    const small = { filmWidthMm: 80, filmHeightMm: 80, arrangement: "together" };
    const refused = await send(small).expect(400);
    expect((refused.body as { detail: string }).detail).toContain("Picture 2");
    const ask = request(app)
      .post("/api/negatives/series")
      .field("request", JSON.stringify({ testId, widthMm: 60, dpi: 50 }));
    for (let i = 0; i < 25; i++) void ask.attach("photo", pictures[0]!, `${i}.png`);
    await ask.expect(400);
  });

  it("from the page without script, makes a series of several chosen pictures", async () => {
    const ask = request(app).post("/negatives");
    const form = { testId, widthMm: "60", dpi: "100", format: "png", mirror: "yes", invert: "yes", marginMm: "0" };
    for (const [name, value] of Object.entries(form)) void ask.field(name, value);
    pictures.forEach((picture, index) => void ask.attach("photo", picture, `${index}.png`));
    const response = await ask.buffer(true).expect(200);
    expect(response.headers["content-type"]).toBe("application/zip");
  });
});
