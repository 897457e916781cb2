import { describe, expect, it } from "vitest";
import { spotDensity } from "#shared/reading/light/spot-density.ts";

/** A strip along the picture's top under light that falls by `fall` (log10) from its first step to its last. */
const strip = (fall: number) =>
  Array.from({ length: 11 }, (_, i) => {
    const density = 1.2 - 0.12 * i;
    return { at: [100 + 40 * i, 50] as [number, number], density, light: 0.8 * 10 ** (-density - (fall * i) / 10) };
  });

describe("spotDensity", () => {
  it("under even light, is the density of the place above the strip's paper", () => {
    const { density, sigma } = spotDensity(strip(0), { at: [300, 400], light: 0.8 * 10 ** -0.64 });
    expect(density).toBeCloseTo(0.64, 9);
    expect(sigma).toBeLessThan(0.01);
  });

  it("where the light falls along the strip, is less sure the further the place lies", () => {
    const far = spotDensity(strip(0.1), { at: [300, 450], light: 0.3 });
    const near = spotDensity(strip(0.1), { at: [300, 60], light: 0.3 });
    expect(far.sigma).toBeGreaterThan(2 * near.sigma);
    expect(far.sigma).toBeGreaterThan(0.08);
  });
});
