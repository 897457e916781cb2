// Files that are broken, lying or huge: a plain refusal each time, and a server that goes on answering.
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import { randomScene } from "../../samples/render/random-scene.ts";
import { seededRandom } from "../../samples/render/random.ts";
import { renderScene, type RenderedScene } from "../../samples/render/render-scene.ts";
import { pictureFile } from "../../samples/render/write-picture.ts";
import { testApp } from "../support/test-app.ts";

const imaging = createImagingPool({
  workerFile: join(rootDir, ".build", "imaging-worker.mjs"),
  threads: 2,
  timeLimitSeconds: 20,
});
const { app } = testApp({ imaging });
const scene = randomScene(31, { kind: "scan", megapixels: 0.06, clutter: false, anyTurn: false });
let rendered: RenderedScene;
let files: Readonly<Record<"jpeg" | "png" | "tiff" | "webp", Buffer>>;

beforeAll(async () => {
  rendered = renderScene({ ...scene, file: { ...scene.file, bits: 8 } });
  const saved = (format: "jpeg" | "png" | "tiff" | "webp"): Promise<Buffer> =>
    pictureFile({ ...rendered, scene: { ...scene, file: { ...scene.file, bits: 8, format } } });
  files = { jpeg: await saved("jpeg"), png: await saved("png"), tiff: await saved("tiff"), webp: await saved("webp") };
});
afterAll(() => imaging.close());

function read(picture: Buffer, changes: object = {}, name = "strip.jpg"): request.Test {
  return request(app)
    .post("/api/readings")
    .attach("photo", picture, name)
    .field("request", JSON.stringify({ ...rendered.truth.request, corners: rendered.truth.corners, ...changes }));
}

function expectRefusal(answer: request.Response, status: number, words: RegExp): void {
  expect([answer.status, answer.body.detail]).toEqual([status, expect.stringMatching(words)]);
  expect(answer.headers["content-type"]).toMatch(/^application\/problem\+json/);
  expect(answer.body.detail).not.toMatch(/vips|libspng|Error:|undefined|NaN|\bat \w+ \(/i);
}

/** The checksum of PNG chunks (ISO 15948, annex D). */
function crc32(bytes: Buffer): number {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1;
  }
  return (sum ^ 0xffffffff) >>> 0;
}

/**
 * A PNG whose rows are all nought: small as a file, huge when unpacked. Without its rows it can only be refused by its
 * header.
 */
function pngBomb(side: number, hasRows = true): Buffer {
  const chunk = (name: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
    const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
    length.writeUInt32BE(data.length);
    sum.writeUInt32BE(crc32(body));
    return Buffer.concat([length, body, sum]);
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(side, 0);
  header.writeUInt32BE(side, 4);
  header.set([1, 0, 0, 0, 0], 8);
  const rows = deflateSync(Buffer.alloc(side * (1 + Math.ceil(side / 8))), { level: 1 });
  return Buffer.concat([
    Buffer.from("\x89PNG\r\n\x1a\n", "latin1"),
    chunk("IHDR", header),
    chunk("IDAT", hasRows ? rows : Buffer.from("not the rows of any picture")),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

const bomb = pngBomb(30_000);

describe("POST /api/readings with a hostile file", () => {
  it("when a text file is called .jpg, says that it is not a picture", async () => {
    expectRefusal(await read(Buffer.from("dear printmaker,\n".repeat(40))), 415, /not a picture/);
  });

  it("when the file is empty, says so", async () => {
    expectRefusal(await read(Buffer.alloc(0)), 415, /empty/);
  });

  it.each([0.3, 0.6, 0.95])("when a JPEG is cut at %f of its length, says that it is damaged", async (share) => {
    expectRefusal(await read(files.jpeg.subarray(0, Math.floor(files.jpeg.length * share))), 415, /damaged|cut short/);
  });

  it("when a PNG unpacks to 30,000 x 30,000 pixels, refuses it before unpacking", async () => {
    expect(bomb.length).toBeLessThan(1_000_000);
    expectRefusal(await read(bomb, {}, "strip.png"), 413, /900 million pixels.*at most/);
    // Whoever unpacks this one finds a damaged picture; a small one of that kind shows that it would be told.
    expectRefusal(await read(pngBomb(30_000, false), {}, "strip.png"), 413, /900 million pixels.*at most/);
    expectRefusal(await read(pngBomb(300, false), {}, "strip.png"), 415, /damaged|cut short/);
  });

  it("when the corners cross, says that they are impossible", async () => {
    const [a, b, c, d] = rendered.truth.corners;
    const answer = await read(files.jpeg, { corners: [a, c, b, d] });
    expectRefusal(answer, 422, /corner/i);
    expect(answer.body.field).toBe("corners");
  });

  it.each([
    ["no steps", { tablet: { kind: "transmission", steps: 0, increment: 0.15 } }, "tablet.steps"],
    ["a negative time", { tablet: { kind: "timed", seconds: [60, -30, 15] } }, "tablet.seconds.1"],
    [
      "corners that are no numbers",
      {
        corners: [
          ["1", 2],
          [3, 4],
          [5, 6],
          [7, 8],
        ],
      },
      "corners.0.0",
    ],
    ["a billion steps", { tablet: { kind: "transmission", steps: 1e9, increment: 0.15 } }, "tablet.steps"],
  ])("when the request has %s, names the field", async (_case, changes, field) => {
    const answer = await read(files.jpeg, changes);
    expect([answer.status, answer.body.field]).toEqual([400, field]);
  });

  it.each(["jpeg", "png", "tiff", "webp"] as const)(
    "when bytes of a %s are changed at random, answers in plain words or with a reading, never with its own failure",
    async (format) => {
      const random = seededRandom(77);
      const answers = new Map<number, number>();
      for (let round = 0; round < 16; round++) {
        const picture = Buffer.from(files[format]);
        const flips = random.whole(1, 24);
        // Half of the rounds hit the header, where the structure is.
        for (let flip = 0; flip < flips; flip++)
          picture[Math.floor(random.next() * (round % 2 === 0 ? Math.min(400, picture.length) : picture.length))] =
            random.whole(0, 255);
        const answer = await read(picture, {}, `strip.${format}`);
        expect([200, 413, 415, 422]).toContain(answer.status);
        if (answer.status !== 200) expect(answer.body.detail).toMatch(/\w.*[.?]$/);
        answers.set(answer.status, (answers.get(answer.status) ?? 0) + 1);
      }
      expect(answers.get(415)).toBeGreaterThan(0);
    },
  );

  it("when eight hostile files arrive at once, goes on answering others meanwhile", async () => {
    const waiting = Array.from({ length: 8 }, (_, index) =>
      read(index % 2 === 0 ? bomb : files.jpeg.subarray(0, 2000)).then((answer) => answer.status),
    );
    // Asked one after the other while the files are read; a server that reads them in its own thread answers none
    // before the last.
    const answered = (async () => {
      for (let round = 0; round < 3; round++) await request(app).get("/api/health").expect(200);
      return "answered";
    })();
    expect(await Promise.race([answered, Promise.all(waiting).then(() => "kept waiting")])).toBe("answered");
    expect((await Promise.all(waiting)).sort()).toEqual([413, 413, 413, 413, 415, 415, 415, 415]);
  });
});
