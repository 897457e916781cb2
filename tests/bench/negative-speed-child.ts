// One negative, or sharp's bare work for the same size, in a process of its own, so that its memory is its own: prints
// one JSON line.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { negativeToneTable } from "#shared/correction/negative-tone.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { packedPng } from "#src/output/png.ts";
import { drawNegative } from "#src/imaging/negative/draw-negative.ts";

const [what = "", file = "", widthMm = "", dpi = ""] = process.argv.slice(2);
// As in the imaging workers.
sharp.concurrency(1);
sharp.cache(false);

/** Made-up tone curve; its shape does not matter for the time. */
const correction = Float64Array.from({ length: 65_536 }, (_, code) => 255 * (code / 65_535) ** 0.8);

async function bareWork(): Promise<number> {
  const width = Math.round((Number(widthMm) / 25.4) * Number(dpi));
  return (await sharp(file, { limitInputPixels: false }).resize({ width }).greyscale().png().toBuffer()).length;
}

async function negative(): Promise<number> {
  const workFolder = mkdtempSync(join(tmpdir(), "wedgewright-bench-"));
  try {
    const request = negativeRequestSchema.parse({ testId: "bench", widthMm: Number(widthMm), dpi: Number(dpi) });
    const made = await drawNegative(
      { file, workFolder, request, tone: negativeToneTable({ correction, contrast: 0, invert: true }), caption: "" },
      { onProgress: () => {} },
    );
    const { picture } = made.sheets[0]!;
    return "tiff" in picture ? picture.tiff.length : packedPng(picture, Number(dpi)).length;
  } finally {
    rmSync(workFolder, { recursive: true, force: true });
  }
}

const started = performance.now();
const before = process.cpuUsage();
const bytes = await (what === "bare" ? bareWork() : negative());
const { user, system } = process.cpuUsage(before);
console.log(
  JSON.stringify({
    ms: performance.now() - started,
    cpuMs: (user + system) / 1000,
    bytes,
    peakMb: process.resourceUsage().maxRSS / 1024,
  }),
);
