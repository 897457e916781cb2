import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { blueprint, blueprintDensities, stripFile, type StripPicture } from "../support/pictures/strip-picture.ts";

const corners: Corners = [
  [80, 80],
  [710, 80],
  [710, 180],
  [80, 180],
];
const scan: StripPicture = { width: 790, height: 260, corners, densities: blueprintDensities, grain: 0.01 };
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const rms = (errors: readonly number[]) => Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
const errorsOf = (steps: readonly { red: number }[]) => steps.map((step, i) => step.red - blueprintDensities[i]!);

describe("measureReading with given corners", () => {
  for (const [format, bits] of [
    ["png", 8],
    ["png", 16],
    ["tiff", 16],
    ["jpeg", 8],
    ["webp", 8],
  ] as const) {
    it(`when the picture is a ${bits}-bit ${format}, finds the drawn densities`, async () => {
      const reading = await measureReading({
        picture: await stripFile(scan, format, bits),
        request: { tablet, corners },
      });
      expect(reading.image).toMatchObject({ width: 790, height: 260, bitsPerChannel: bits });
      // JPEG decoders round the colour-difference channels to whole codes, which moves red by up to 0.7 of a code. Goal
      // 0.005.
      expect(rms(errorsOf(reading.steps))).toBeLessThan(format === "jpeg" ? 0.01 : 0.005);
      expect(reading.steps[3]!.input).toBe(0.5);
    });
  }

  it("when the light falls off along and across the strip, evens it out by the paper", async () => {
    const light = (x: number, y: number) => 0.9 / (1 + 0.9 * (x - 0.1) ** 2 + 0.2 * y);
    const reading = await measureReading({
      picture: await stripFile({ ...scan, light }),
      request: { tablet, corners },
    });
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.006);
  });

  it.each([
    ["in one channel", "b-w"],
    ["in three", "srgb"],
  ] as const)("when the picture was turned to grey, kept %s, says that its red is grey", async (_how, space) => {
    const grey = await sharp(await stripFile(scan))
      .greyscale()
      .toColourspace(space)
      .png()
      .toBuffer();
    const codes = async (picture: Buffer) =>
      (await measureReading({ picture, request: { tablet, corners } })).warnings.map(({ code }) => code);
    expect(await codes(grey)).toContain("picture-grey");
    expect(await codes(await stripFile(scan))).not.toContain("picture-grey");
  });

  it("when the strip is tilted, follows its steps", async () => {
    const tilted: Corners = [
      [100, 60],
      [690, 105],
      [680, 205],
      [90, 190],
    ];
    const reading = await measureReading({
      picture: await stripFile({ ...scan, corners: tilted }),
      request: { tablet, corners: tilted },
    });
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.006);
  });

  it("when a dark wooden table surrounds the strip, does not take it for paper", async () => {
    const table = [0.3, 0.5, 0.8] as const;
    const reading = await measureReading({
      picture: await stripFile({ ...scan, around: () => table }),
      request: { tablet, corners },
    });
    expect(reading.warnings.map((warning) => warning.code)).toContain("no-paper");
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.01);
  });

  it("when paper reaches less far than the table beside it, uses the paper", async () => {
    const around = (u: number, v: number): readonly [number, number, number] =>
      v > -0.3 && v < 1.3 && u > -0.1 && u < 1.1 ? [0, 0, 0] : [0.25, 0.3, 0.35];
    const reading = await measureReading({
      picture: await stripFile({ ...scan, around }),
      request: { tablet, corners },
    });
    expect(reading.warnings.map((warning) => warning.code)).not.toContain("no-paper");
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.005);
  });

  it("when fully exposed blue surrounds the strip, says that there is no paper", async () => {
    const reading = await measureReading({
      picture: await stripFile({ ...scan, around: () => [1.4, 0.6, 0.22] }),
      request: { tablet, corners },
    });
    expect(reading.warnings.map((warning) => warning.code)).toContain("no-paper");
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.01);
  });

  it("when the picture is stored on its side, measures it upright", async () => {
    const upright = await stripFile(scan);
    const sideways = await sharp(upright)
      .rotate(270)
      .jpeg({ quality: 97, chromaSubsampling: "4:4:4" })
      .withMetadata({ orientation: 6 })
      .toBuffer();
    const reading = await measureReading({ picture: sideways, request: { tablet, corners } });
    expect(reading.image).toMatchObject({ width: 790, height: 260 });
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.01);
  });

  it("when the picture is grey, reads the same tone in every channel", async () => {
    const grey = await sharp(await stripFile(scan))
      .extractChannel(0)
      .png()
      .toBuffer();
    const reading = await measureReading({ picture: grey, request: { tablet, corners } });
    expect(rms(errorsOf(reading.steps))).toBeLessThan(0.006);
    expect(reading.steps[0]!.visual).toBeCloseTo(reading.steps[0]!.red, 3);
  });

  it("when read in colour, reports luminance density and L* beside the paper", async () => {
    const reading = await measureReading({ picture: await stripFile(scan, "png", 16), request: { tablet, corners } });
    const paper = [0.8, 0.78, 0.74];
    const weights = [0.2126, 0.7152, 0.0722];
    const white = weights.reduce((sum, w, c) => sum + w * paper[c]!, 0);
    reading.steps.forEach((step, i) => {
      const y =
        weights.reduce((sum, w, c) => sum + w * paper[c]! * 10 ** (-blueprint[c]! * blueprintDensities[i]!), 0) / white;
      expect(Math.abs(step.visual + Math.log10(y))).toBeLessThan(0.005);
      expect(Math.abs(step.lightness - Math.min(100, 116 * Math.cbrt(y) - 16))).toBeLessThan(0.5);
    });
  });

  it.each([
    [
      "cross and begin at the end of the last step",
      [
        [710, 80],
        [80, 80],
        [710, 180],
        [80, 180],
      ],
    ],
    [
      "are mirrored",
      [
        [710, 80],
        [80, 80],
        [80, 180],
        [710, 180],
      ],
    ],
    [
      "enclose nothing",
      [
        [80, 80],
        [710, 80],
        [710, 81],
        [80, 81],
      ],
    ],
    [
      "lie outside the picture",
      [
        [80, 80],
        [1710, 80],
        [1710, 180],
        [80, 180],
      ],
    ],
  ] as const)("when the corners %s, refuses them", async (_what, wrong) => {
    const job = measureReading({
      picture: await stripFile(scan),
      request: { tablet, corners: wrong as unknown as Corners },
    });
    await expect(job).rejects.toMatchObject({ name: "TroubleError", code: "corners-impossible", field: "corners" });
  });
});
