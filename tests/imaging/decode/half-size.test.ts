// JPEG files of more than 6 million pixels are decoded at half size where their steps hold pixels to spare; places stay
// those of the whole picture.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { TroubleError } from "#shared/errors.ts";
import type { Corners, Tablet } from "#shared/schema/reading.ts";
import { decodePicture } from "#src/imaging/decode/decode.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { measureSteps } from "#src/imaging/measure-steps.ts";
import { blueprintDensities, stripFile } from "../../support/pictures/strip-picture.ts";

const [width, height] = [5600, 3601];
/** The strip is drawn at a quarter of the size and enlarged without smoothing, which is quicker. */
const enlarged = 4;

async function largePicture(corners: Corners): Promise<Buffer> {
  const small = corners.map(([x, y]) => [x / enlarged, (y / enlarged) * (901 / (height / enlarged))]);
  const drawn = await stripFile({
    width: width / enlarged,
    height: 901,
    corners: small as unknown as Corners,
    densities: blueprintDensities,
    grain: 0.02,
  });
  return sharp(drawn).resize({ width, height, fit: "fill", kernel: "nearest" }).jpeg({ quality: 95 }).toBuffer();
}
const at = (length: number, thickness: number): Corners => [
  [300, 300],
  [300 + length, 300],
  [300 + length, 300 + thickness],
  [300, 300 + thickness],
];
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;

describe("a large JPEG file", () => {
  it("is read at half size as truly as at full size, in the whole picture's pixels", { timeout: 120_000 }, async () => {
    const corners = at(4200, 800);
    const picture = await largePicture(corners);
    const decoded = await decodePicture(picture, { halveLarge: true });
    expect([decoded.raster.width, decoded.raster.height]).toEqual([2800, 1801]);
    const reading = await measureReading({ picture, request: { tablet, corners } });
    expect(reading.image).toMatchObject({ width, height });
    expect(reading.location.corners.flat().map(Math.round)).toEqual(corners.flat());
    expect(reading.steps[0]!.centre[0]).toBeCloseTo(400, -1);
    // What JPEG itself rounds is the same at both sizes.
    const whole = await decodePicture(picture);
    const full = measureSteps(whole.raster, corners, blueprintDensities).steps;
    const differences = reading.steps.map((step, i) => Math.abs(step.red - full[i]!.red));
    expect(Math.max(...differences)).toBeLessThan(0.0015);
    const errors = reading.steps.map((step, i) => step.red - blueprintDensities[i]!);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.015);
  });

  it("with a small strip is measured at full size", { timeout: 120_000 }, async () => {
    const corners = at(630, 120);
    const picture = await largePicture(corners);
    const reading = await measureReading({ picture, request: { tablet, corners } });
    expect(reading.image).toMatchObject({ width, height });
    expect(reading.warnings.map(({ code }) => code)).not.toContain("small-steps");
    const errors = reading.steps.map((step, i) => step.red - blueprintDensities[i]!);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.02);
  });

  describe("whose strip cannot be read as it was said", () => {
    const corners = at(4200, 800);
    const troubleOf = async (request: { tablet: Tablet; corners?: Corners }): Promise<TroubleError> => {
      const error: unknown = await measureReading({ picture: await largePicture(corners), request }).catch(
        (thrown: unknown) => thrown,
      );
      expect(error).toBeInstanceOf(TroubleError);
      return error as TroubleError;
    };

    it("has the likeliest corners in the whole picture's pixels", { timeout: 120_000 }, async () => {
      const { extra } = await troubleOf({ tablet: { ...tablet, steps: 31, increment: 0.1 } });
      const [first, , , last] = extra?.["guess"] as Corners;
      expect(Math.hypot(first[0] - 300, first[1] - 300)).toBeLessThan(60);
      expect(Math.hypot(last[0] - 300, last[1] - 1100)).toBeLessThan(60);
    });

    it("and whose corner lies outside, tells the whole picture's size", { timeout: 120_000 }, async () => {
      const { trouble } = await troubleOf({ tablet, corners: at(5400, 800) });
      expect(trouble).toEqual({ code: "corner-outside", corner: 2, widthPx: width, heightPx: height });
    });
  });

  it("whose corners are settled, tells by how many of its own pixels", { timeout: 120_000 }, async () => {
    const corners = at(4200, 800);
    const [a, b, c, d] = corners;
    const picture = await largePicture(corners);
    const { warnings } = await measureReading({
      picture,
      request: { tablet, corners: [[a[0], a[1] + 200], [b[0], b[1] + 200], c, d] },
    });
    const settled = warnings.find(({ code }) => code === "corners-settled");
    expect(settled).toMatchObject({ movedPx: expect.closeTo(200, -2) as number });
  });
});
