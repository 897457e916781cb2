import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { densityFromReflectance, reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import { lightnessFromLuminance, luminanceFromLightness } from "#shared/density/lightness.ts";
import { linearFromSrgb, luminanceFromLinearSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { numberIn, referenceTable } from "../../support/reference-table.ts";

/** Rows as numbers, in the order of the columns. */
const rowsOf = (name: string, rowCount: number, columns: readonly string[]): number[][] =>
  referenceTable(name, rowCount).map((row) => columns.map((column) => numberIn(row, column)));

describe("density, reflectance, lightness and sRGB codes", () => {
  const columns = ["density", "reflectance", "L_star", "srgb_code_8bit"];
  const rows = rowsOf("density-reflectance-lightness", 36, columns);

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
  const rows = rowsOf("lightness-pairs", 9, ["Y", "Yn", "L_star"]);

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
