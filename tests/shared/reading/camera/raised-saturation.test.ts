// Truth from a spectrum, as in the test of the one pigment: an invented band through invented broad channels.
import { describe, expect, it } from "vitest";
import type { ExposedStep } from "#shared/reading/camera/seen-tones.ts";
import { saturationTold } from "#shared/reading/camera/raised-saturation.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { onePigmentLights } from "../../../support/one-pigment-lights.ts";

/** Light of paper: exposed so that it is not cut off. */
const paper = 0.8;

const photographed = (chroma: number, flare = 0.005): { lights: (ExposedStep | null)[]; reds: readonly number[] } => {
  const lights = onePigmentLights();
  return {
    reds: lights.map(([red]) => -Math.log10(red)),
    lights: lights.map((light) => {
      const veiled = light.map((each) => (each + flare) / (1 + flare)) as [number, number, number];
      const luminance = luminanceFromLinearSrgb(...veiled);
      const tones = veiled.map((each) => ({
        light: paper * (luminance + chroma * (each - luminance)),
        paper,
        sigma: 0.004,
      }));
      if (tones[0]!.light < 0.003 * paper) return null;
      return { ...tones[0]!, green: tones[1]!, blue: tones[2]! };
    }),
  };
};

describe("what one photo tells of raised saturation", () => {
  it.each([1.4, 1.7])(
    "when colours are raised %d times, says so, and its uncertainty covers what red is off",
    (chroma) => {
      const { lights, reds } = photographed(chroma);
      const told = saturationTold(lights)!;
      expect(told.isRaised).toBe(true);
      const off = lights.flatMap((step, i) =>
        step === null || reds[i]! > 1.5 || reds[i]! < 0.3
          ? []
          : [{ error: Math.log10(paper / step.light) - reds[i]!, sigma: told.sigma[i]! }],
      );
      expect(Math.max(...off.map(({ error }) => error))).toBeGreaterThan(0.1);
      for (const { error, sigma } of off) expect(Math.abs(error)).toBeLessThan(2.5 * sigma);
    },
  );

  it("when they are as they should be, keeps quiet and adds little", () => {
    const { lights, reds } = photographed(1);
    const told = saturationTold(lights)!;
    expect(told.isRaised).toBe(false);
    told.sigma.forEach((sigma, i) => {
      if (reds[i]! < 1) expect(sigma).toBeLessThan(0.1);
    });
  });

  it.each([
    [0.67, 0.21],
    [0.55, 0.19],
    [0.5, 0.12],
  ])(
    "when green and blue are %d and %d of red, and pale steps are a little stained, is not led astray",
    (green, blue) => {
      const reds = Array.from({ length: 21 }, (_, i) => 1.3 / (1 + Math.exp(3.5 * (i * 0.15 - 1.2))));
      const told = saturationTold(
        reds.map((red) => {
          const stain = 0.006 * Math.exp(-3 * red);
          const tone = (density: number) => ({ light: paper * 10 ** -density, paper, sigma: 0.003 });
          return { ...tone(red), green: tone(green * red + stain), blue: tone(blue * red + 2 * stain) };
        }),
      )!;
      expect(told.isRaised).toBe(false);
      // What is usual of an unknown camera at 1.3, and half of it on top.
      for (const sigma of told.sigma) expect(sigma).toBeLessThan(0.25);
    },
  );

  it("of a grey picture tells nothing", () => {
    const grey = photographed(1).lights.map((step) =>
      step === null ? null : { light: step.light, paper: step.paper, sigma: step.sigma },
    );
    expect(saturationTold(grey)).toBeNull();
  });
});
