import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { resamplingTaps, RowResampler } from "#src/imaging/negative/resample.ts";
import { sharpenedRows } from "#src/imaging/negative/sharpen-rows.ts";
import { seededRandom } from "../support/pictures/printed-strip.ts";

function resized(
  grey: Uint16Array,
  width: number,
  height: number,
  to: { width: number; height: number },
  part = { x: 0, y: 0, ...to },
): Float32Array {
  const resampler = new RowResampler({
    across: resamplingTaps({
      size: width,
      from: { start: 0, length: width },
      to: to.width,
      part: { start: part.x, length: part.width },
    }),
    down: resamplingTaps({
      size: height,
      from: { start: 0, length: height },
      to: to.height,
      part: { start: part.y, length: part.height },
    }),
    rowAt: (y) => grey.subarray(y * width, (y + 1) * width),
  });
  const out = new Float32Array(part.width * part.height);
  for (let y = 0; y < part.height; y++) resampler.row(y, out.subarray(y * part.width, (y + 1) * part.width));
  return out;
}

/** A smooth made-up picture. */
function smoothPicture(width: number, height: number): Uint16Array {
  return Uint16Array.from(
    { length: width * height },
    (_, index) => 32_768 + 15_000 * Math.sin((index % width) / 9) * Math.cos(Math.floor(index / width) / 7),
  );
}

describe("resampling", () => {
  it("at the same size, gives the same numbers", () => {
    const picture = smoothPicture(50, 40);
    expect(Array.from(resized(picture, 50, 40, { width: 50, height: 40 }))).toEqual(Array.from(picture));
  });

  it.each([
    [97, 71],
    [35, 20],
    [13, 9],
    [300, 1],
  ])("to %i by %i, keeps an even tone even", (width, height) => {
    const even = new Uint16Array(60 * 44).fill(40_000);
    for (const value of resized(even, 60, 44, { width, height })) expect(Math.abs(value - 40_000)).toBeLessThan(0.1);
  });

  it.each([
    [40, 32],
    [25, 20],
    [21, 17],
  ])("made smaller to %i by %i, agrees with another program's Lanczos-3 away from the edge", async (width, height) => {
    const picture = smoothPicture(50, 40);
    const other = await sharp(picture, { raw: { width: 50, height: 40, channels: 1 } })
      .toColourspace("grey16")
      .resize(width, height, { fit: "fill", kernel: "lanczos3" })
      .raw({ depth: "ushort" })
      .toBuffer();
    const theirs = new Uint16Array(other.buffer, other.byteOffset, width * height);
    const ours = resized(picture, 50, 40, { width, height });
    const edge = Math.ceil((4 * width) / 50);
    let worst = 0;
    for (let y = edge; y < height - edge; y++)
      for (let x = edge; x < width - edge; x++)
        worst = Math.max(worst, Math.abs(ours[y * width + x]! - theirs[y * width + x]!));
    // One 8-bit level is 257; the other program rounds kernel positions.
    expect(worst).toBeLessThan(257);
  });

  it.each([
    [150, 120],
    [85, 68],
  ])("enlarged to %i by %i, lies on the smooth surface that the picture samples", (width, height) => {
    const ours = resized(smoothPicture(50, 40), 50, 40, { width, height });
    const edge = Math.ceil((4 * width) / 50);
    let worst = 0;
    for (let y = edge; y < height - edge; y++) {
      for (let x = edge; x < width - edge; x++) {
        const truth =
          32_768 +
          15_000 * Math.sin((((x + 0.5) * 50) / width - 0.5) / 9) * Math.cos((((y + 0.5) * 40) / height - 0.5) / 7);
        worst = Math.max(worst, Math.abs(ours[y * width + x]! - truth));
      }
    }
    expect(worst).toBeLessThan(257);
  });

  it("in parts, gives exactly the whole, so that tiles join without a seam", () => {
    const picture = smoothPicture(50, 40);
    const whole = resized(picture, 50, 40, { width: 133, height: 101 });
    const part = resized(picture, 50, 40, { width: 133, height: 101 }, { x: 70, y: 33, width: 63, height: 68 });
    for (let y = 0; y < 68; y++)
      for (let x = 0; x < 63; x++) expect(part[y * 63 + x]).toBe(whole[(y + 33) * 133 + x + 70]);
  });
});

describe("local sharpening", () => {
  const width = 40;
  const height = 30;
  const random = seededRandom(4);
  const edgePicture = Float32Array.from(
    { length: width * height },
    (_, index) => (index % width < 20 ? 20_000 : 40_000) + 10 * random(),
  );
  const sharpenedPicture = (amount: number) => {
    const rows = sharpenedRows({
      width,
      height,
      dpi: 300,
      amount,
      readRow: (y, out) => out.set(edgePicture.subarray(y * width, (y + 1) * width)),
    });
    const out = new Float32Array(width * height);
    for (let y = 0; y < height; y++) rows(y, out.subarray(y * width, (y + 1) * width));
    return out;
  };

  it("at nought, changes nothing", () => {
    expect(Array.from(sharpenedPicture(0))).toEqual(Array.from(edgePicture));
  });

  it("steepens an edge on both sides by the same amount and leaves even parts alone", () => {
    const out = sharpenedPicture(0.5);
    const row = 15 * width;
    expect(out[row + 19]!).toBeLessThan(18_500);
    expect(out[row + 20]!).toBeGreaterThan(41_500);
    expect(out[row + 5]!).toBeCloseTo(edgePicture[row + 5]!, -2);
    expect(20_000 - out[row + 19]! - (out[row + 20]! - 40_000)).toBeCloseTo(0, -2);
  });
});
