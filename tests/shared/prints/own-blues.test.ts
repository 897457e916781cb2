import { describe, expect, it } from "vitest";
import { inTheHueOf, ownBlues, type OwnBlues } from "#shared/prints/own-blues.ts";
import { luminanceFromLinearSrgb, linearFromSrgb } from "#shared/density/srgb.ts";
import { lightnessFromLuminance } from "#shared/density/lightness.ts";
import { oklchFromLinearSrgb } from "#shared/density/oklab.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";

/** Relative luminance as WCAG 2.2 defines it. */
const luminanceOf = (hex: string): number => {
  const channel = (at: number): number => linearFromSrgb(Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return luminanceFromLinearSrgb(channel(1), channel(3), channel(5));
};

function step(index: number, [red, green, blue]: readonly number[], flags: readonly string[] = []): ReadingStep {
  const luminance = luminanceFromLinearSrgb(10 ** -(red ?? 0), 10 ** -(green ?? 0), 10 ** -(blue ?? 0));
  return {
    index,
    input: index,
    red: red ?? 0,
    green: green ?? 0,
    blue: blue ?? 0,
    visual: -Math.log10(luminance),
    lightness: lightnessFromLuminance(luminance),
    sigma: 0.01,
    sigmaVisual: 0.01,
    centre: [0, 0],
    box: [
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
    ],
    flags,
  };
}

/** A print whose layer takes so much of green and blue for each unit of red density. */
const print = (green: number, blue: number, deepest = 1.5): ReadingStep[] =>
  Array.from({ length: 8 }, (_, i) => {
    const red = (deepest * (7 - i)) / 7;
    return step(i + 1, [red, red * green, red * blue]);
  });

const coded = (density: number, paper: number): number =>
  // IEC 61966-2-1, by hand.
  Math.round(255 * (1.055 * (((paper / 255 + 0.055) / 1.055) ** 2.4 * 10 ** -density) ** (1 / 2.4) - 0.055));

describe("the blues of a print", () => {
  it("run from the page's paper to the deepest step in even steps of L*", () => {
    const blues = ownBlues(print(0.45, 0.2), "#fbf8f1");
    expect(blues?.tones[0]).toBe("#fbf8f1");
    const [r, g, b] = [coded(1.5, 0xfb), coded(0.675, 0xf8), coded(0.3, 0xf1)];
    expect(blues?.tones[8]).toBe(`#${[r, g, b].map((each) => each.toString(16).padStart(2, "0")).join("")}`);
    const white = ownBlues(print(0.45, 0.2), "#ffffff");
    const lightness = white?.tones.map((tone) => lightnessFromLuminance(luminanceOf(tone))) ?? [];
    for (let i = 1; i < lightness.length; i++)
      expect((lightness[i - 1] ?? 0) - (lightness[i] ?? 0)).toBeCloseTo((100 - (white?.deepestLightness ?? 0)) / 8, 0);
  });

  it.each([
    ["of a print toned brown", print(1.2, 1.6)],
    ["of a print without colour", print(1, 1)],
    ["of a print that hardly darkens", print(0.45, 0.2, 0.3)],
    ["of three good steps", print(0.45, 0.2).slice(0, 3)],
    [
      "whose dark steps are flagged",
      print(0.45, 0.2).map((each) => ({ ...each, flags: each.red > 0.4 ? ["clipped"] : [] })),
    ],
    ["of a reading without colours", print(0.45, 0.2).map(({ green: _green, blue: _blue, ...rest }) => rest)],
  ])("%s are not told", (_name, steps) => {
    expect(ownBlues(steps, "#fbf8f1")).toBeNull();
  });
});

describe("inTheHueOf", () => {
  const houses = ["#14407a", "#93bdf0", "#0c2a52", "#c2dbf7", "#dfe8f1", "#1f3350", "#1d3f6e"];
  const hues = [200, 215, 230, 245, 260, 275, 290, 300];
  const cases = houses.flatMap((house) =>
    hues.flatMap((hueDegrees) => [0.03, 0.1, 0.25].map((chroma) => ({ house, hueDegrees, chroma }))),
  );

  it("keeps the luminance, so that no contrast falls by more than 2 %", () => {
    for (const { house, ...of } of cases) {
      const own = inTheHueOf({ ...of, tones: [], deepestLightness: 40 }, house);
      // Contrast by WCAG 2.2 is a ratio of luminances + 0.05.
      const ratio = (luminanceOf(own) + 0.05) / (luminanceOf(house) + 0.05);
      expect(Math.abs(ratio - 1), `${house} at ${of.hueDegrees}° became ${own}`).toBeLessThan(0.02);
    }
  });

  it("takes the hue of the print", () => {
    for (const { house, ...of } of cases) {
      const blues: OwnBlues = { ...of, tones: [], deepestLightness: 40 };
      const own = inTheHueOf(blues, house);
      const channel = (at: number): number => linearFromSrgb(Number.parseInt(own.slice(at, at + 2), 16) / 255);
      const { hueDegrees, chroma } = oklchFromLinearSrgb([channel(1), channel(3), channel(5)]);
      // Eight bits hold a pale colour's hue to some degrees.
      expect(Math.abs(hueDegrees - of.hueDegrees)).toBeLessThan(Math.max(3, (0.003 / chroma) * 57.3));
    }
  });
});
