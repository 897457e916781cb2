// Prints and photos come from the simulated studio of the bench, whose film, coating and camera share no formula with
// the reader.
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import type { Corners, ReadingRequest } from "#shared/schema/reading.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { sheetDefaults, sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { readingInWords } from "#shared/words/tests/reading-words.ts";
import { errorInWords } from "#shared/words/trouble-words.ts";
import { drawSheet } from "#src/imaging/draw-sheet.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import type { Photo } from "../bench/closed-loop/camera.ts";
import { printAndPhotograph } from "../bench/closed-loop/print-and-photograph.ts";
import { evenPrintDensity, inventStudio, type Studio } from "../bench/closed-loop/studio.ts";

let film: Uint8Array;
beforeAll(async () => {
  film = (await drawSheet({ options: sheetDefaults, paper: "a4", dpi: 150, mirror: true })).png;
});

const readSheet = (photo: Photo, more: Partial<ReadingRequest> = {}): Promise<MeasuredReading> =>
  measureReading({ picture: photo.jpeg, request: { tablet: { kind: "sheet" }, ...more } });

/**
 * Root mean square error of red density above what the reading says that it counts from: bare paper, or the sheet's own
 * white.
 */
function densityError(reading: MeasuredReading, studio: Studio): number {
  const zero = reading.sheet?.zero?.of === "bare-paper" ? 0 : evenPrintDensity(studio, 0);
  const errors = reading.steps.map((step) => step.red - (evenPrintDensity(studio, 255 - step.input) - zero));
  return Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
}

const codes = (reading: MeasuredReading): string[] => reading.warnings.map((warning) => warning.code);

describe("reading a wedge sheet's print", () => {
  it("on paper, with nothing but the photo, finds every level to a hundredth of density", async () => {
    const studio = inventStudio(21);
    const reading = await readSheet(
      await printAndPhotograph({ studio, png: film, options: sheetDefaults, seed: 21, longSidePx: 1800 }),
    );
    expect(reading.steps.map((step) => step.input)).toEqual(sheetLayout().levels);
    expect(densityError(reading, studio)).toBeLessThan(0.012);
    expect(reading.location.method).toBe("found");
    expect(reading.location.confidence).toBeGreaterThan(0.9);
    expect(reading.sheet).toMatchObject({
      mirrored: false,
      inverted: false,
      registration: "code-and-marks",
      layout: { levels: 41, replicates: 4, widthMm: 160 },
    });
  });

  it("in a picture without colours, says so, and that the tone curve may be off for it", async () => {
    const studio = inventStudio(21);
    const photo = await printAndPhotograph({ studio, png: film, options: sheetDefaults, seed: 21, longSidePx: 1800 });
    expect(codes(await readSheet(photo))).not.toContain("picture-grey");
    const grey = (channels: "b-w" | "srgb"): Promise<Buffer> =>
      sharp(photo.jpeg).greyscale().toColourspace(channels).jpeg({ quality: 95 }).toBuffer();
    for (const channels of ["b-w", "srgb"] as const) {
      const { warnings } = readingInWords(await readSheet({ ...photo, jpeg: await grey(channels) }));
      expect(warnings.find(({ code }) => code === "picture-grey")?.message).toMatch(
        /no colours.*tone curve may be off/u,
      );
    }
  });

  it("on cloth that is stretched out of shape, still finds every patch", async () => {
    const studio = inventStudio(22, true);
    const photo = await printAndPhotograph({ studio, png: film, options: sheetDefaults, seed: 22, longSidePx: 1800 });
    const reading = await readSheet(photo);
    expect(densityError(reading, studio)).toBeLessThan(0.015);
  });

  it("when the film lay the wrong way up, reads the same tones and says that it is mirrored", async () => {
    const studio = inventStudio(23);
    const reading = await readSheet(
      await printAndPhotograph({
        studio,
        png: film,
        options: sheetDefaults,
        seed: 23,
        longSidePx: 1600,
        laidWrong: true,
      }),
    );
    expect(densityError(reading, studio)).toBeLessThan(0.012);
    expect(codes(reading)).toContain("sheet-mirrored");
  });

  it("when the file was inverted once too often, turns the levels round and says so", async () => {
    const studio = inventStudio(24);
    const png = await sharp(film).negate().withDensity(150).png().toBuffer();
    const reading = await readSheet(
      await printAndPhotograph({ studio, png, options: sheetDefaults, seed: 24, longSidePx: 1600 }),
    );
    expect(codes(reading)).toContain("sheet-inverted");
    expect(reading.steps[0]?.input).toBe(0);
    expect(densityError(reading, studio)).toBeLessThan(0.02);
  });

  it.each([41, 42, 43])("on too thin a film (%i), counts from the bare paper and tells the veil", async (seed) => {
    const studio = inventStudio(seed, false, "thin");
    const photo = await printAndPhotograph({ studio, png: film, options: sheetDefaults, seed, longSidePx: 1600 });
    const reading = await readSheet(photo);
    const veil = evenPrintDensity(studio, 0);
    expect(veil).toBeGreaterThan(0.05);
    expect(reading.sheet?.zero).toMatchObject({ of: "bare-paper" });
    const densest = reading.steps.find((step) => step.input === 255);
    expect(Math.abs((densest?.red ?? 0) - veil)).toBeLessThan(0.02);
    expect(densest?.lightness).toBeLessThan(98.5);
    expect(densityError(reading, studio)).toBeLessThan(0.02);
  });

  it("when the picture shows no bare paper, says what its densities count from", async () => {
    const studio = inventStudio(44, false, "thin");
    const photo = await printAndPhotograph({ studio, png: film, options: sheetDefaults, seed: 44, longSidePx: 1600 });
    const { widthMm } = sheetDefaults;
    const { heightMm } = sheetLayout();
    const rim = [
      [-3, -3],
      [widthMm + 3, -3],
      [widthMm + 3, heightMm + 3],
      [-3, heightMm + 3],
    ] as const;
    const block = rim.map(([x, y]) => photo.placeOf(x, y).join(" ")).join(" L");
    const { width, height } = photo;
    const beyond =
      `<svg width="${width}" height="${height}"><path fill-rule="evenodd" fill="#6b4a33" ` +
      `d="M0 0H${width}V${height}H0Z ` +
      `M${block}Z"/></svg>`;
    const jpeg = await sharp(photo.jpeg)
      .composite([{ input: Buffer.from(beyond) }])
      .jpeg({ quality: 95 })
      .toBuffer();
    const reading = await readSheet({ ...photo, jpeg });
    expect(reading.sheet?.zero).toEqual({ of: "own-white" });
    expect(codes(reading)).toContain("sheet-zero-own-white");
  });

  it("when its code is painted over, is placed by the four marks and the corners given", async () => {
    const studio = inventStudio(25);
    const layout = sheetLayout();
    const photo = await printAndPhotograph({
      studio,
      png: film,
      options: sheetDefaults,
      seed: 25,
      longSidePx: 1600,
      tilt: 6,
    });
    const [x, y] = photo.placeOf(layout.code.xMm + 8, layout.code.yMm + 8);
    const patch = await sharp({ create: { width: 60, height: 60, channels: 3, background: "#888888" } })
      .png()
      .toBuffer();
    const jpeg = await sharp(photo.jpeg)
      .composite([{ input: patch, left: Math.round(x) - 30, top: Math.round(y) - 30 }])
      .jpeg({ quality: 95 })
      .toBuffer();
    await expect(readSheet({ ...photo, jpeg })).rejects.toMatchObject({ code: "no-tablet-found" });
    const corners = layout.marks.map((mark) => photo.placeOf(mark.xMm + 0.8, mark.yMm - 0.6)) as unknown as Corners;
    const reading = await readSheet({ ...photo, jpeg }, { corners });
    expect(reading.sheet?.registration).toBe("marks");
    expect(densityError(reading, studio)).toBeLessThan(0.012);
    // A wrong guess of the corners' order must be noticed, not read.
    await expect(
      readSheet({ ...photo, jpeg }, { corners: [corners[1], corners[2], corners[3], corners[0]] }),
    ).rejects.toMatchObject({ code: "no-tablet-found" });
  });

  it("in a picture without a sheet, refuses in plain words", async () => {
    const jpeg = await sharp({ create: { width: 800, height: 600, channels: 3, background: "#bbaa99" } })
      .jpeg()
      .toBuffer();
    const refusal = await measureReading({ picture: jpeg, request: { tablet: { kind: "sheet" } } }).catch(
      (error: unknown) => error,
    );
    expect(errorInWords(refusal)).toMatchObject({
      code: "no-tablet-found",
      detail: expect.stringContaining("square code") as string,
    });
  });
});
