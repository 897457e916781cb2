// How long a large negative takes against sharp's decode, resize and encode alone, and how much memory it needs.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { rootDir } from "#src/settings.ts";
import type { Print } from "./main.ts";

export const title = "negatives: A3 at 600 dpi, and a picture of 108 million pixels";

/** Goals: at most so many times sharp's time, and so much memory; a picture far larger than its print takes longer. */
const a3Goals = { timesBareWork: 1, peakMb: 500 } as const;
const largeGoals = { timesBareWork: 2, peakMb: 700 } as const;

interface Outcome {
  readonly ms: number;
  readonly cpuMs: number;
  readonly bytes: number;
  readonly peakMb: number;
}

export interface NegativeSpeed {
  readonly name: string;
  readonly bare: Outcome;
  readonly negative: Outcome;
  readonly timesBareWork: number;
  readonly timesBareCpu: number;
  readonly goals: { readonly timesBareWork: number; readonly peakMb: number };
}

const cases = [
  { name: "24 MP JPEG to A3, 600 dpi", width: 6000, height: 4000, widthMm: 420, dpi: 600, goals: a3Goals },
  { name: "108 MP JPEG to A3, 300 dpi", width: 12_000, height: 9000, widthMm: 420, dpi: 300, goals: largeGoals },
] as const;

/** Runs every case: bare work and negative in turn, `rounds` times, the median of each. */
export async function negativeSpeeds(rounds = 3): Promise<NegativeSpeed[]> {
  const folder = mkdtempSync(join(tmpdir(), "wedgewright-bench-"));
  try {
    const results: NegativeSpeed[] = [];
    for (const { name, width, height, widthMm, dpi, goals } of cases) {
      const file = join(folder, `${width}.jpg`);
      await madeUpPhotograph(file, width, height);
      const runs = Array.from({ length: rounds }, () => ({
        bare: inChild("bare", file, widthMm, dpi),
        negative: inChild("negative", file, widthMm, dpi),
      }));
      const bare = medianOutcome(runs.map((run) => run.bare));
      const negative = medianOutcome(runs.map((run) => run.negative));
      results.push({
        name,
        bare,
        negative,
        timesBareWork: negative.ms / bare.ms,
        timesBareCpu: negative.cpuMs / bare.cpuMs,
        goals,
      });
    }
    return results;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export async function run(print: Print): Promise<void> {
  for (const { name, bare, negative, timesBareWork, timesBareCpu, goals } of await negativeSpeeds()) {
    print(
      `${name}: ${(negative.ms / 1000).toFixed(1)} s, ${timesBareWork.toFixed(2)} times sharp's ` +
        `${(bare.ms / 1000).toFixed(1)} s (processor ${timesBareCpu.toFixed(2)} times); peak ` +
        `${negative.peakMb.toFixed(0)} MB, sharp ${bare.peakMb.toFixed(0)} MB; file ` +
        `${(negative.bytes / 1e6).toFixed(0)} MB, sharp ${(bare.bytes / 1e6).toFixed(0)} MB`,
    );
    print(
      `  goal ${goals.timesBareWork} times: ${timesBareWork <= goals.timesBareWork ? "met" : "missed"}; goal ` +
        `${goals.peakMb} MB: ${negative.peakMb <= goals.peakMb ? "met" : "missed"}`,
    );
  }
}

/** Soft shapes with film-like grain: neither empty nor pure noise, so that decoding and packing have real work. */
async function madeUpPhotograph(file: string, width: number, height: number): Promise<void> {
  const grain = await sharp({
    create: {
      width: 512,
      height: 512,
      channels: 3,
      background: "#808080",
      noise: { type: "gaussian", mean: 128, sigma: 12 },
    },
  })
    .png()
    .toBuffer();
  const soft = await sharp({
    create: {
      width: 24,
      height: 16,
      channels: 3,
      background: "#808080",
      noise: { type: "gaussian", mean: 128, sigma: 60 },
    },
  })
    .png()
    .toBuffer();
  const shapes = await sharp(soft)
    .resize(width, height, { fit: "fill", kernel: "cubic" })
    .jpeg({ quality: 95 })
    .toBuffer();
  await sharp(shapes, { limitInputPixels: false })
    .composite([{ input: grain, tile: true, blend: "soft-light" }])
    .jpeg({ quality: 92 })
    .toFile(file);
}

function inChild(what: "bare" | "negative", file: string, widthMm: number, dpi: number): Outcome {
  const child = spawnSync(
    process.execPath,
    [
      "--import",
      "tsx",
      fileURLToPath(new URL("negative-speed-child.ts", import.meta.url)),
      what,
      file,
      String(widthMm),
      String(dpi),
    ],
    { cwd: rootDir, encoding: "utf8" },
  );
  if (child.status !== 0) throw new Error(`The measuring process failed: ${child.stderr}`);
  return JSON.parse(child.stdout.trim().split("\n").at(-1) ?? "") as Outcome;
}

function medianOutcome(outcomes: readonly Outcome[]): Outcome {
  const median = (pick: (outcome: Outcome) => number) =>
    outcomes.map(pick).sort((a, b) => a - b)[Math.floor(outcomes.length / 2)]!;
  return {
    ms: median(({ ms }) => ms),
    cpuMs: median(({ cpuMs }) => cpuMs),
    bytes: median(({ bytes }) => bytes),
    peakMb: median(({ peakMb }) => peakMb),
  };
}
