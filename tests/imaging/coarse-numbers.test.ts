// Files whose numbers are divided more coarsely than their depth could: 8 bits saved anew as 16, few flat tones.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { spacingOfNumbers } from "#src/imaging/decode/number-spacing.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { blueprintDensities, codesOf, levelCorners, stripLight } from "../support/pictures/strip-picture.ts";

const [width, height] = [790, 260];
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const drawn = { width, height, corners: levelCorners, densities: blueprintDensities };
const codes = Uint8Array.from(codesOf(stripLight({ ...drawn, grain: 0.01 }), 8));
/** A quiet scan, whose every place is one of two neighbouring codes. */
const quiet = Uint8Array.from(codesOf(stripLight(drawn), 16), (code, i) =>
  Math.floor(code / 257 + ((((i / 3) * 7) % 10) | 0) / 10),
);
/** Some programs fill the lower byte of every other number. */
const widened = (of: Uint8Array) => Uint16Array.from(of, (code, i) => code * 256 + ((i / 3) & 1 ? 0 : 255));

async function fileOf(numbers: Uint8Array | Uint16Array): Promise<Buffer> {
  const image = sharp(numbers, { raw: { width, height, channels: 3 } });
  return (numbers instanceof Uint16Array ? image.toColourspace("rgb16") : image)
    .png({ compressionLevel: 1 })
    .toBuffer();
}

async function stepsOf(numbers: Uint8Array | Uint16Array) {
  const { steps } = await measureReading({
    picture: await fileOf(numbers),
    request: { tablet, corners: levelCorners },
  });
  const errors = steps.map(({ red }, i) => red - blueprintDensities[i]!);
  return { steps, rms: Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length) };
}

describe("a picture of 16 bits that was made of 8", () => {
  it("gives every step a density, as near to the drawn one as the 8 bits do", async () => {
    const { steps, rms } = await stepsOf(widened(quiet));
    expect(steps.flatMap(({ flags }) => flags)).toEqual([]);
    expect(rms).toBeLessThan(0.01);
  });

  it("keeps the rounding of the 8 bits in its uncertainty", async () => {
    const [wide, plain] = [await stepsOf(widened(quiet)), await stepsOf(quiet)];
    // Where both tones are about as frequent they tell finer than one: a few steps are surer.
    const sum = ({ steps }: typeof wide): number => steps.reduce((total, { sigma }) => total + sigma, 0);
    expect(sum(wide)).toBeGreaterThan(0.8 * sum(plain));
  });
});

describe("a picture in few flat tones, further apart than noise reaches", () => {
  it("gives every step a density, none without a number", async () => {
    // Every pixel is one of two tones, eight codes apart, about as often the one as the other.
    const flat = Uint8Array.from(codes, (code, i) =>
      Math.min(255, 8 * Math.round(code / 8 + (((i * 7) % 10) - 4.5) / 9)),
    );
    const { steps, rms } = await stepsOf(flat);
    expect(steps.every(({ red, sigma }) => Number.isFinite(red) && Number.isFinite(sigma))).toBe(true);
    expect(rms).toBeLessThan(0.1);
  });
});

describe("the spacing of numbers", () => {
  it("when all are used, is one; when every 257th is, 257", () => {
    const all = Uint16Array.from({ length: 400_000 }, (_, i) => (i * 7919) % 65_536);
    expect(spacingOfNumbers(all)).toBe(1);
    expect(spacingOfNumbers(all.map((code) => 257 * (code >> 8)))).toBe(257);
    expect(spacingOfNumbers(all.map((code) => code & 0xfff0))).toBe(16);
  });

  it("when a drawing holds a few tones alone, is no coarser than 8 bits", () => {
    expect(spacingOfNumbers(Uint16Array.from([0, 30_000, 65_535]))).toBe(257);
    expect(spacingOfNumbers(new Uint16Array(9))).toBe(1);
  });
});
