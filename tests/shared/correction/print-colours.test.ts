import { describe, expect, it } from "vitest";
import { printColour, printColours } from "#shared/correction/print-colours.ts";

/** IEC 61966-2-1: decoding of one 8-bit code, and the luminance of linear sRGB. */
const linear = (code: number): number =>
  code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;
const luminance = (rgb: readonly number[]): number =>
  0.2126 * linear(rgb[0] ?? 0) + 0.7152 * linear(rgb[1] ?? 0) + 0.0722 * linear(rgb[2] ?? 0);

describe("colours of a finished print on a screen", () => {
  it("when nothing was printed, is the white of the paper", () => {
    expect(printColour(0, 0)).toEqual([255, 255, 255]);
  });

  it.each([
    [0.3, 0.1],
    [0.8, 0.35],
    [1.4, 0.6],
  ])("when red density is %f and visual %f, shows just that red and that luminance", (red, visual) => {
    const colour = printColour(red, visual);
    expect(Math.abs(-Math.log10(linear(colour[0])) - red)).toBeLessThan(0.02);
    expect(Math.abs(-Math.log10(luminance(colour)) - visual)).toBeLessThan(0.01);
    expect(colour[2]).toBeGreaterThan(colour[1]);
    expect(colour[1]).toBeGreaterThan(colour[0]);
  });

  it("when a test's steps lie on a bent line of red over visual density, follows it between them", () => {
    const red = (visual: number): number => 1.8 * visual + 0.7 * visual ** 2;
    const measured = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6].map((visual) => ({ visual, red: red(visual) }));
    const [colour] = printColours([0.45], measured);
    expect(colour).toEqual(printColour(red(0.45), 0.45));
  });
});
