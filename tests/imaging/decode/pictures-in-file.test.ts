import sharp, { type Sharp } from "sharp";
import { describe, expect, it } from "vitest";
import { pngChunk } from "#shared/format/png-chunk.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { decodePicture } from "#src/imaging/decode/decode.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import { blueprintDensities, levelCorners, stripFile } from "../../support/pictures/strip-picture.ts";

const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const png = async (): Promise<Buffer> =>
  sharp(await stripFile({ width: 790, height: 260, corners: levelCorners, densities: blueprintDensities }))
    .png()
    .toBuffer();

/** The strip, and the strip in negative. */
async function two(): Promise<Sharp> {
  const first = await png();
  return sharp([first, await sharp(first).negate().png().toBuffer()], { join: { animated: true } });
}

/** An animation of so many frames, of which the first alone follows. */
async function animatedPng(frames: number): Promise<Buffer> {
  const still = await png();
  const told = new Uint8Array(8);
  new DataView(told.buffer).setUint32(0, frames);
  const afterHeader = 8 + 25;
  return Buffer.concat([still.subarray(0, afterHeader), pngChunk("acTL", told), still.subarray(afterHeader)]);
}

const codesOf = async (picture: Buffer): Promise<string[]> =>
  (await decodePicture(picture)).warnings.map(({ code }) => code);

describe("a file that holds several pictures", () => {
  it.each([
    ["a moving WebP", async () => (await two()).webp({ lossless: true }).toBuffer(), /first of 2 frames/u],
    ["a TIFF of two pages", async () => (await two()).tiff({ compression: "lzw" }).toBuffer(), /first of 2 pages/u],
    ["a moving PNG", async () => animatedPng(7), /first of 7 frames/u],
  ])("%s is read by its first one, and the reading and the look at it say so", async (_, make, words) => {
    const picture = await make();
    const reading = await measureReading({ picture, request: { tablet, corners: levelCorners } });
    reading.steps.forEach((step, i) => expect(Math.abs(step.red - blueprintDensities[i]!)).toBeLessThan(0.03));
    const told = readingInWords(reading).warnings.filter(({ code }) => code === "several-pictures-in-file");
    expect(told.map(({ message }) => message)).toEqual([expect.stringMatching(words)]);
    expect((await makePreview({ picture, maxSidePx: 320 })).several).toMatchObject({
      of: words.source.includes("7") ? 7 : 2,
    });
  });

  it("when all but one are smaller copies of it, says nothing", async () => {
    const pyramid = await sharp(await png())
      .resize(1600)
      .tiff({ pyramid: true, tile: true, tileWidth: 256, tileHeight: 256 })
      .toBuffer();
    expect((await sharp(pyramid).metadata()).pages).toBeGreaterThan(1);
    expect(await codesOf(pyramid)).not.toContain("several-pictures-in-file");
  });

  it("when there is one alone, says nothing", async () => {
    const picture = sharp(await png());
    for (const one of [picture.clone().png(), picture.clone().tiff(), picture.clone().webp(), picture.clone().jpeg()])
      expect(await codesOf(await one.toBuffer())).not.toContain("several-pictures-in-file");
  });
});
