// Three JPEG files of one strip by an invented camera with an S of its own, at three exposures that its notes tell.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { luminanceFromLinearSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { blueprint, blueprintDensities, codesOf, stripLight, levelCorners } from "../support/pictures/strip-picture.ts";

const corners = levelCorners;
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
/** The paper of drawn strips. */
const paper = [0.8, 0.78, 0.74] as const;
const code = (light: number): number => {
  const x = srgbFromLinear(Math.min(1, light));
  return x + 0.06 * Math.sin(2 * Math.PI * (x - 0.5));
};

/** @param seconds exposure time; a sixtieth gives paper about two thirds of full scale */
async function photo(seconds: string | null, factor: number, flare = 0): Promise<Buffer> {
  const [width, height] = [790, 260];
  const light = stripLight({
    width,
    height,
    corners,
    densities: blueprintDensities,
    grain: 0.004,
    seed: factor * 10,
  }).map((value) => factor * (value + 0.8 * flare));
  const image = sharp(codesOf(light, 8, code), { raw: { width, height, channels: 3 } });
  const exif = seconds === null ? {} : { ExposureTime: seconds, FNumber: "18/10", ISOSpeedRatings: "100" };
  return image
    .withExif({ IFD0: { Make: "Invented" }, IFD2: exif })
    .jpeg({ quality: 97, chromaSubsampling: "4:4:4" })
    .toBuffer();
}

const read = async (picture: Buffer): Promise<MeasuredReading> =>
  measureReading({ picture, request: { tablet, corners } });
const rms = (reading: MeasuredReading): number =>
  Math.sqrt(
    reading.steps.reduce((sum, step, i) => sum + (step.red - blueprintDensities[i]!) ** 2, 0) / reading.steps.length,
  );

const codes = ({ warnings }: MeasuredReading): string[] => warnings.map((warning) => warning.code);

describe("three photos of one print at different exposures", () => {
  it("show the camera's curve: densities within 0.05 where one photo is off by more than 0.1", async () => {
    const photos = [await photo("1/120", 0.4), await photo("1/60", 0.8), await photo("1/30", 1.6)];
    const readings = await Promise.all(photos.map(read));
    expect(rms(readings[1]!)).toBeGreaterThan(0.1);
    const solved = averageReadings(readings);
    expect(rms(solved)).toBeLessThan(0.05);
    expect(solved.camera).toMatchObject({ toneKnown: false, by: "pictures" });
    expect(solved.camera!.gammaSigma).toBeLessThan(0.02);
    const words = readingInWords(solved);
    expect(words.warnings.find(({ code: each }) => each === "tone-unchecked")?.message).toMatch(/from 3 pictures/u);
    expect(words).not.toHaveProperty("light");
  });

  it("show it in all channels: visual density and L* as well, which one photo gets wrong", async () => {
    const photos = [await photo("1/120", 0.4), await photo("1/60", 0.8), await photo("1/30", 1.6)];
    const readings = await Promise.all(photos.map(read));
    const worstOf = ({ steps }: MeasuredReading) => {
      const errors = steps.map((step, i) => {
        const densities = blueprint.map((share) => share * blueprintDensities[i]!);
        const [r, g, b] = paper.map((each, c) => each * 10 ** -densities[c]!);
        const visual = Math.log10(luminanceFromLinearSrgb(...paper) / luminanceFromLinearSrgb(r!, g!, b!));
        return {
          green: Math.abs(step.green! - densities[1]!),
          blue: Math.abs(step.blue! - densities[2]!),
          visual: Math.abs(step.visual - visual),
          lightness: Math.abs(step.lightness - lightnessFromLuminance(10 ** -visual)),
        };
      });
      const worst = (of: keyof (typeof errors)[number]): number => Math.max(...errors.map((error) => error[of]));
      return { green: worst("green"), blue: worst("blue"), visual: worst("visual"), lightness: worst("lightness") };
    };
    const [one, solved] = [worstOf(readings[1]!), worstOf(averageReadings(readings))];
    expect(one.visual).toBeGreaterThan(0.05);
    expect(one.lightness).toBeGreaterThan(2);
    expect(solved.green).toBeLessThan(0.02);
    expect(solved.blue).toBeLessThan(0.02);
    expect(solved.visual).toBeLessThan(0.02);
    expect(solved.lightness).toBeLessThan(1);
  });

  it("when the brightest lost paper and pale steps, hold what the others tell and ask for no other photo", async () => {
    const photos = [await photo("1/120", 0.4), await photo("1/60", 0.8), await photo("1/30", 1.6)];
    const readings = await Promise.all(photos.map(read));
    expect(codes(readings[2]!)).toEqual(expect.arrayContaining(["no-paper", "paper-clipped", "steps-clipped"]));
    const solved = averageReadings(readings);
    expect(codes(solved).filter((each) => /clipped|no-paper/u.test(each))).toEqual([]);
    expect(averageReadings(readings.slice(1)).steps.flatMap(({ flags }) => flags)).toEqual([]);
  });

  it("when all of them lost the pale steps, still say so", async () => {
    const photos = [await photo("1/30", 1.6), await photo("1/15", 3.2)];
    const solved = averageReadings(await Promise.all(photos.map(read)));
    expect(solved.warnings.find(({ code: each }) => each === "steps-clipped")).toMatchObject({
      steps: expect.arrayContaining([20, 21]) as number[],
    });
  });

  it("when the light changed between them, so that their notes lie, are not solved and say why", async () => {
    const photos = [await photo("1/120", 0.4), await photo("1/60", 0.8), await photo("1/60", 1.6)];
    const averaged = averageReadings(await Promise.all(photos.map(read)));
    expect(averaged.camera?.by).toBe("assumption");
    expect(codes(averaged)).toContain("exposures-disagree");
    expect(codes(averaged)).not.toContain("pictures-disagree");
  });

  it("when not all of their files tell the exposure, say so, and nothing of the kind when they are alike", async () => {
    const photos = [await photo("1/120", 0.4), await photo(null, 0.8)];
    const averaged = averageReadings(await Promise.all(photos.map(read)));
    const unknown = averaged.warnings.find(({ code: each }) => each === "exposures-unknown");
    expect(unknown).toMatchObject({ stops: expect.closeTo(1, 0) as number });
    const alike = averageReadings(await Promise.all([await photo(null, 0.8), await photo(null, 0.82)].map(read)));
    expect(codes(alike)).not.toContain("exposures-unknown");
  });

  it("show stray light by the print's one pigment, and say in the uncertainty what that leaves open", async () => {
    const photos = [await photo("1/120", 0.4, 0.01), await photo("1/60", 0.8, 0.01), await photo("1/30", 1.6, 0.01)];
    const solved = averageReadings(await Promise.all(photos.map(read)));
    expect(rms(solved)).toBeLessThan(0.03);
    const [deepest] = solved.steps;
    const error = blueprintDensities[0]! - deepest!.red;
    expect(Math.abs(error)).toBeLessThan(2 * deepest!.cameraSigma!);
    expect(deepest!.cameraSigma).toBeLessThan(0.12);
  });

  it("without the camera's notes of its exposures are averaged as they are", async () => {
    const readings = [await read(await photo(null, 0.4)), await read(await photo(null, 0.8))];
    expect(averageReadings(readings).camera?.by).not.toBe("pictures");
  });
});
