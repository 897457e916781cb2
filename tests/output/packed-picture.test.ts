import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { pngCheckSum } from "#shared/format/png-chunk.ts";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { negativePdf } from "#src/output/negative-pdf.ts";
import { packedPng } from "#src/output/png.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

/**
 * Greys without a pattern, so that they need several portions (a linear congruential generator, constants from memory).
 */
function noisyPixels(count: number): Uint8Array {
  let state = 7;
  return Uint8Array.from({ length: count }, () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) >>> 24);
}

const [width, height, dpi] = [1500, 1600, 300];
const pixels = noisyPixels(width * height);
const packer = new RowPacker({ width, height, bits: 8, channels: 1 });
for (let y = 0; y < height; y++) await packer.row(pixels.subarray(y * width, (y + 1) * width));
const packed = await packer.end();

const has = (program: string) => spawnSync(program, ["-v"]).error === undefined;

describe("a packed picture", () => {
  it("inflated and unfiltered by the standard's rule (PNG 3, clause 9.2, filter up), is the rows that went in", () => {
    expect(packed.parts.length).toBeGreaterThan(1);
    const rows = inflateSync(Buffer.concat(packed.parts.map(({ data }) => data)));
    expect(rows.length).toBe(height * (width + 1));
    let wrong = 0;
    for (let y = 0; y < height; y++) {
      if (rows[y * (width + 1)] !== 2) wrong += 1;
      for (let x = 0; x < width; x++) {
        const above = y === 0 ? 0 : pixels[(y - 1) * width + x]!;
        if (((rows[y * (width + 1) + 1 + x]! + above) & 255) !== pixels[y * width + x]) wrong += 1;
      }
    }
    expect(wrong).toBe(0);
  });

  it("wrapped as PNG, is read by another library pixel for pixel, with its resolution", async () => {
    const png = packedPng(packed, dpi);
    const read = sharp(png, { failOn: "warning" });
    expect(await read.metadata()).toMatchObject({ width, height, channels: 1, depth: "uchar", density: dpi });
    expect(Buffer.compare(await read.toColourspace("b-w").raw().toBuffer(), Buffer.from(pixels))).toBe(0);
  });

  it.skipIf(!has("pdfimages"))("wrapped as PDF, gives poppler the same pixels on a page of their size", async () => {
    const folder = temporaryFolder();
    const file = join(folder, "negative.pdf");
    const madeAt = new Date("2026-05-01T12:00:00Z");
    writeFileSync(file, await negativePdf({ pages: [{ picture: packed, filmMm: null }], dpi, title: "Noise", madeAt }));
    expect(spawnSync("pdfimages", ["-png", file, join(folder, "page")]).status).toBe(0);
    const out = await sharp(readFileSync(join(folder, "page-000.png")))
      .toColourspace("b-w")
      .raw()
      .toBuffer();
    expect(Buffer.compare(out, Buffer.from(pixels))).toBe(0);
    const told = spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout;
    expect(told).toMatch(/Page size:\s+360 x 384 pts/);
  });
});

describe("pngCheckSum", () => {
  it("of the digits 1 to 9 is the catalogue's cbf43926 (CRC-32/ISO-HDLC, from memory), however parted", () => {
    const digits = new TextEncoder().encode("123456789");
    expect(pngCheckSum(digits)).toBe(0xcbf4_3926);
    expect(pngCheckSum(digits.subarray(4), "1234")).toBe(0xcbf4_3926);
  });
});
