import fc from "fast-check";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { densityFromReflectance, reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import { lightnessFromLuminance, luminanceFromLightness } from "#shared/density/lightness.ts";
import { linearFromSrgb, luminanceFromLinearSrgb, srgbFromLinear } from "#shared/density/srgb.ts";

const rowsOf = (name: string) =>
  readFileSync(new URL(`../../reference/${name}`, import.meta.url), "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"))
    .slice(1)
    .map((line) => line.split(",").map(Number));

describe("density, reflectance, lightness and sRGB codes", () => {
  const rows = rowsOf("density-reflectance-lightness.csv");

  it("holds every row of the reference table", () => {
    expect(rows).toHaveLength(36);
  });

  it.each(rows)("at density %f, gives reflectance %f, L* %f and code %f", (density, reflectance, lightness, code) => {
    expect(Math.abs(reflectanceFromDensity(density!) - reflectance!)).toBeLessThan(6e-9);
    expect(Math.abs(densityFromReflectance(reflectance!) - density!)).toBeLessThan(3e-6);
    expect(Math.abs(lightnessFromLuminance(reflectanceFromDensity(density!)) - lightness!)).toBeLessThan(6e-6);
    expect(Math.abs(luminanceFromLightness(lightness!) - reflectance!)).toBeLessThan(1e-6);
    expect(Math.abs(srgbFromLinear(reflectanceFromDensity(density!)) * 255 - code!)).toBeLessThan(6e-5);
    expect(Math.abs(linearFromSrgb(code! / 255) - reflectance!)).toBeLessThan(2e-6);
  });
});

describe("lightnessFromLuminance", () => {
  const rows = rowsOf("lightness-pairs.csv");

  it("holds every row of the reference table", () => {
    expect(rows).toHaveLength(9);
  });

  it.each(rows)("for Y %f beside white %f, gives %f", (y, white, lightness) => {
    expect(Math.abs(lightnessFromLuminance(y! / white!) - lightness!)).toBeLessThan(1e-9);
  });
});

describe("sRGB", () => {
  it("at the published pairs, agrees", () => {
    expect(srgbFromLinear(0.18)).toBeCloseTo(0.461356, 6);
    expect(linearFromSrgb(128 / 255)).toBeCloseTo(0.215861, 6);
    expect(luminanceFromLinearSrgb(1, 1, 1)).toBeCloseTo(1, 12);
  });
});

describe("laws of density", () => {
  const share = fc.double({ min: 1e-5, max: 1, noNaN: true });

  it("comes back from reflectance and from L*", () => {
    fc.assert(
      fc.property(share, (reflectance) => {
        expect(Math.abs(reflectanceFromDensity(densityFromReflectance(reflectance)) / reflectance - 1)).toBeLessThan(
          1e-12,
        );
        expect(Math.abs(luminanceFromLightness(lightnessFromLuminance(reflectance)) / reflectance - 1)).toBeLessThan(
          1e-12,
        );
      }),
      { seed: 4 },
    );
  });

  it("adds up where reflectances multiply", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (a, b) => {
          expect(densityFromReflectance(a * b)).toBeCloseTo(densityFromReflectance(a) + densityFromReflectance(b), 10);
        },
      ),
      { seed: 4 },
    );
  });
});
