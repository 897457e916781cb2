import { describe, expect, it } from "vitest";
import { matchedExposure } from "#shared/prints/matched-exposure.ts";

// An invented coating: D = 1.4 / (1 + exp(-4 (log H - 2))), through 21 steps 0.15 apart.
const blue = (logH: number): number => 1.4 / (1 + Math.exp(-4 * (logH - 2)));
const steps = Array.from({ length: 21 }, (_, i) => ({
  logH: 2.8 - 0.15 * i,
  density: blue(2.8 - 0.15 * i),
  sigma: 0.004,
}));

describe("matchedExposure", () => {
  it("finds the exposure of a tone between two steps, with a range that holds it", () => {
    for (const logH of [1.6, 1.87, 2.13, 2.4]) {
      const found = matchedExposure(steps, { density: blue(logH), sigma: 0.01 });
      if (found === null) throw new Error("no match");
      expect(Math.abs(found.logH - logH)).toBeLessThan(0.02);
      expect(found.lowerLogH).toBeGreaterThan(0.005);
      expect(found.upperLogH).toBeLessThan(0.12);
    }
  });

  it("does not mind what the camera does to both alike", () => {
    const bent = (density: number): number => 0.9 * density ** 1.1;
    const seen = steps.map((step) => ({ ...step, density: bent(step.density) }));
    const found = matchedExposure(seen, { density: bent(blue(2.05)), sigma: 0.01 });
    expect(Math.abs((found?.logH ?? 0) - 2.05)).toBeLessThan(0.02);
  });

  it("of a tone paler or deeper than every step, says nothing", () => {
    expect(matchedExposure(steps, { density: -0.1, sigma: 0.01 })).toBeNull();
    expect(matchedExposure(steps, { density: 1.5, sigma: 0.01 })).toBeNull();
  });
});
