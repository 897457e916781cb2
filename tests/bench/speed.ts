// How quick a reading is against the decoder alone on the same file in the same run, what it holds in memory, and
// whether the server stays awake meanwhile.
import { execFileSync, fork } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import sharp from "sharp";
import { rootDir } from "#src/settings.ts";
import { randomScene } from "../../samples/render/random-scene.ts";
import { renderScene } from "../../samples/render/render-scene.ts";
import { pictureFile } from "../../samples/render/write-picture.ts";
import type { Print } from "./main.ts";
import type { OnceAnswer } from "./read-once.ts";
import { heicGrid } from "../support/pictures/heic-grid.ts";
import { firstReportingSeed } from "./scenes/scene-tasks.ts";
import { figureLine, quantile } from "./statistics.ts";

export const title = "speed and memory of a reading, and the server's event loop while eight run";

const goals = { given: 1.3, found: 1.6, heic: 1.5, residentMb: 500, loopMs: 50 };
const rounds = 5;
/** Both programs start Node, load the libraries and read the file, so that whole processes compare like with like. */
const program = join(rootDir, ".bench", "read-once.mjs");

interface Prepared {
  readonly file: string;
  readonly given: string;
  readonly unaided: string;
  readonly picture: Buffer;
}

export async function run(print: Print): Promise<void> {
  await build({
    entryPoints: [fileURLToPath(new URL("read-once.ts", import.meta.url))],
    outfile: program,
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    packages: "external",
    absWorkingDir: rootDir,
    logLevel: "warning",
  });
  mkdirSync(join(rootDir, ".bench"), { recursive: true });
  const folder = mkdtempSync(join(tmpdir(), "wedgewright-bench-"));
  try {
    const twelve = await prepare(folder, 12);
    ratioLines("12 MP JPEG", twelve, print);
    ratioLines("12 MP JPEG without profile, upright", await plain(twelve, folder), print);
    heicLine(prepareHeic(folder), print);
    const fifty = await prepare(folder, 50);
    for (const [how, request] of [
      ["corners given", fifty.given],
      ["found by itself", fifty.unaided],
    ] as const) {
      const { residentMb } = runOnce("read", fifty.file, request, 1);
      print(
        figureLine(
          `50 MP, ${how}: most resident memory`,
          `${residentMb.toFixed(0)} MB`,
          `< ${goals.residentMb} MB`,
          residentMb < goals.residentMb,
        ),
      );
    }
    await loopLines(twelve, folder, print);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function prepare(folder: string, megapixels: number): Promise<Prepared> {
  const rendered = renderScene(
    randomScene(firstReportingSeed + megapixels, { kind: "photo", megapixels, clutter: false, mostTiltDegrees: 15 }),
  );
  const picture = await pictureFile(rendered);
  const { request, corners } = rendered.truth;
  const named = (name: string): string => join(folder, `${megapixels}-${name}`);
  writeFileSync(named("photo.jpg"), picture);
  writeFileSync(named("given.json"), JSON.stringify({ ...request, corners }));
  writeFileSync(named("unaided.json"), JSON.stringify(request));
  return { file: named("photo.jpg"), given: named("given.json"), unaided: named("unaided.json"), picture };
}

/**
 * The same picture as a program leaves it that puts it upright in plain sRGB: the decoder has no colours to convert and
 * nothing to turn, and takes a quarter of the time, which a reading cannot.
 */
async function plain(picture: Prepared, folder: string): Promise<Prepared> {
  const file = join(folder, "12-plain.jpg");
  const bytes = await sharp(picture.picture).autoOrient().jpeg({ quality: 90 }).toBuffer();
  writeFileSync(file, bytes);
  return { ...picture, file, picture: bytes };
}

function runOnce(
  what: "decode" | "decode-heic" | "read",
  file: string,
  request: string,
  count: number,
): OnceAnswer & { readonly wholeSeconds: number } {
  const started = performance.now();
  const answer = JSON.parse(
    execFileSync(process.execPath, [program, what, file, request, String(count)], { encoding: "utf8" }),
  ) as OnceAnswer;
  return { ...answer, wholeSeconds: (performance.now() - started) / 1000 };
}

function ratioLines(name: string, picture: Prepared, print: Print): void {
  for (const [how, request, goal] of [
    ["corners given", picture.given, goals.given],
    ["found by itself", picture.unaided, goals.found],
  ] as const) {
    // By turns, so that whatever else the machine does falls on both alike.
    const turns = Array.from({ length: rounds }, () => ({
      decode: runOnce("decode", picture.file, request, 1).wholeSeconds,
      read: runOnce("read", picture.file, request, 1).wholeSeconds,
    }));
    const whole = quantile(
      turns.map(({ decode, read }) => read / decode),
      0.5,
    );
    print(
      figureLine(
        `${name}, ${how}: whole process over decode`,
        `${quantile(
          turns.map(({ read }) => read),
          0.5,
        ).toFixed(2)} s, ${whole.toFixed(2)} times`,
        `<= ${goal} times`,
        whole <= goal,
      ),
    );
    const inside = Array.from({ length: 3 }, () => ({
      decode: quantile(runOnce("decode", picture.file, request, rounds).seconds, 0.5),
      read: quantile(runOnce("read", picture.file, request, rounds).seconds, 0.5),
    }));
    const warm = quantile(
      inside.map(({ decode, read }) => read / decode),
      0.5,
    );
    print(
      figureLine(
        `${name}, ${how}: warm, as in a worker`,
        `${quantile(
          inside.map(({ read }) => read),
          0.5,
        ).toFixed(2)} s, ${warm.toFixed(2)} times`,
        `<= ${goal} times`,
        warm <= goal,
      ),
    );
  }
}

/** Tiles of the tests' own strip beside and above each other, as many as make 12 million pixels. */
const heicTiles = { tileWidth: 500, tileHeight: 140, rows: 22, columns: 8 } as const;

/** A large HEIC picture, with the corners of a strip in its middle. */
function prepareHeic(folder: string): Pick<Prepared, "file" | "given"> {
  const tile = readFileSync(new URL("../imaging/decode/pictures/strip-display-p3.heic", import.meta.url));
  const { tileWidth, tileHeight, rows, columns } = heicTiles;
  const [left, top] = [tileWidth * (columns >> 1), tileHeight * (rows >> 1)];
  const corners = [
    [left + 40, top + 40],
    [left + 460, top + 40],
    [left + 460, top + 100],
    [left + 40, top + 100],
  ];
  const [file, given] = [join(folder, "12-photo.heic"), join(folder, "12-heic.json")];
  writeFileSync(file, heicGrid(tile, heicTiles));
  const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };
  writeFileSync(given, JSON.stringify({ tablet, corners }));
  return { file, given };
}

function heicLine({ file, given }: Pick<Prepared, "file" | "given">, print: Print): void {
  const middle = (what: "decode-heic" | "read"): number => quantile(runOnce(what, file, given, 3).seconds, 0.5);
  const turns = Array.from({ length: 3 }, () => ({ decode: middle("decode-heic"), read: middle("read") }));
  const ratio = quantile(
    turns.map(({ decode, read }) => read / decode),
    0.5,
  );
  print(
    figureLine(
      "12 MP HEIC, corners given: warm, over its own decoder",
      `${quantile(
        turns.map(({ read }) => read),
        0.5,
      ).toFixed(2)} s, ${ratio.toFixed(2)} times`,
      `<= ${goals.heic} times`,
      ratio <= goals.heic,
    ),
  );
}

async function loopLines({ picture, given }: Prepared, folder: string, print: Print): Promise<void> {
  const dataDir = join(folder, "data");
  const child = fork(fileURLToPath(new URL("busy-server.ts", import.meta.url)), [dataDir], {
    execArgv: ["--import", "tsx"],
  });
  const [{ address }] = (await once(child, "message")) as [{ address: string }];
  const request = readFileSync(given, "utf8");
  const read = async (): Promise<number> => {
    const form = new FormData();
    form.append("photo", new Blob([new Uint8Array(picture)]), "photo.jpg");
    form.append("request", request);
    return (await fetch(`${address}/api/readings`, { method: "POST", body: form })).status;
  };
  await read();
  child.send("watch");
  const started = performance.now();
  const statuses = await Promise.all(Array.from({ length: 8 }, read));
  const seconds = (performance.now() - started) / 1000;
  child.send("report");
  const [{ p50Ms, p99Ms, mostMs }] = (await once(child, "message")) as [
    { p50Ms: number; p99Ms: number; mostMs: number },
  ];
  child.send("close");
  await once(child, "exit");
  print(
    figureLine(
      "eight readings of 12 MP at once",
      `${seconds.toFixed(1)} s, all answered: ` +
        `${statuses.every((status) => status === 200) ? "yes" : statuses.join(" ")}`,
      "",
    ),
  );
  print(figureLine("event-loop delay meanwhile: median, most", `${p50Ms.toFixed(1)} ms, ${mostMs.toFixed(1)} ms`, ""));
  print(
    figureLine(
      "event-loop delay meanwhile: 99 %",
      `${p99Ms.toFixed(1)} ms`,
      `< ${goals.loopMs} ms`,
      p99Ms < goals.loopMs,
    ),
  );
}
