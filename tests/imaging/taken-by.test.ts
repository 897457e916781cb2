// Whether a picture counts as a photo or a scan: one strip in files that tell different things of themselves.
import sharp, { type Sharp } from "sharp";
import { describe, expect, it } from "vitest";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { TakenBy } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { blueprintDensities, codesOf, stripLight, levelCorners } from "../support/pictures/strip-picture.ts";

const [width, height] = [790, 260];
const corners = levelCorners;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;

const strip = (): Sharp =>
  sharp(codesOf(stripLight({ width, height, corners, densities: blueprintDensities, grain: 0.004, seed: 3 }), 8), {
    raw: { width, height, channels: 3 },
  });
const told = { ExposureTime: "1/60", FNumber: "18/10" };

async function read(picture: Buffer, takenBy?: TakenBy): Promise<MeasuredReading> {
  return measureReading({ picture, request: { tablet, corners, ...(takenBy === undefined ? {} : { takenBy }) } });
}
const codes = ({ warnings }: MeasuredReading) => warnings.map(({ code }) => code);

describe("who took a picture", () => {
  it.each([
    ["JPEG with 300 pixels to the inch", () => strip().withDensity(300).jpeg().toBuffer()],
    ["PNG", () => strip().png().toBuffer()],
    ["TIFF", () => strip().tiff().toBuffer()],
  ])("when a file is %s, it is a scan, whose tone is known", async (_, file) => {
    const reading = await read(await file());
    expect(reading.camera).toMatchObject({ toneKnown: true, by: "no-camera" });
    expect(codes(reading)).not.toContain("tone-unchecked");
    expect(reading.steps.every(({ cameraSigma = 0 }) => cameraSigma === 0)).toBe(true);
  });

  it.each([
    ["JPEG that tells nothing, as messengers send it", () => strip().jpeg().toBuffer()],
    ["JPEG with 72 pixels to the inch", () => strip().withDensity(72).jpeg().toBuffer()],
    [
      "JPEG with a maker's name alone",
      () =>
        strip()
          .withExif({ IFD0: { Make: "Invented" } })
          .jpeg()
          .toBuffer(),
    ],
    ["WebP", () => strip().webp({ quality: 95 }).toBuffer()],
  ])("when a file is %s, a photo is supposed, whose deep steps are unsure", async (_, file) => {
    const reading = await read(await file());
    expect(reading.camera).toMatchObject({ toneKnown: false, by: "assumption", isSupposed: true });
    expect(reading.warnings).toContainEqual({ code: "tone-unchecked", isSupposed: true });
    expect(reading.steps[0]!.cameraSigma).toBeGreaterThan(0.05);
  });

  it("when the camera's notes are there, a photo is told, also with a printer's resolution beside them", async () => {
    const { camera } = await read(await strip().withExif({ IFD2: told }).withDensity(300).jpeg().toBuffer());
    expect(camera).toMatchObject({ by: "assumption" });
    expect(camera).not.toHaveProperty("isSupposed");
  });

  it("when the user says who took it, that counts more than the file", async () => {
    const noted = await strip().withExif({ IFD2: told }).jpeg().toBuffer();
    expect((await read(noted, "scanner")).camera).toMatchObject({ toneKnown: true, by: "no-camera" });
    const png = await read(await strip().png().toBuffer(), "camera");
    expect(png.camera).toMatchObject({ toneKnown: false, by: "assumption" });
    expect(png.camera).not.toHaveProperty("isSupposed");
  });
});
