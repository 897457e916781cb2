// Cameras of the tests' own: six tone curves that are no plain power, and 0 to 2 % of stray light. Invented.
import { describe, expect, it } from "vitest";
import { cameraSigmaOf, densityWithoutFlare, unknownCamera } from "#shared/reading/camera/camera-term.ts";
import { seededRandom } from "#shared/statistics/random.ts";

/** What each camera makes of light (0-1): powers, a lifted foot, shoulders, an S. Paper lies at about 0.75. */
const cameras: readonly ((light: number) => number)[] = [
  (light) => light ** 0.95,
  (light) => light ** 1.06,
  (light) => light * (1 + 0.25 * (0.75 - light)),
  (light) => 0.97 * light ** 1.03 + 0.0002,
  (light) => light * (1 - 0.1 * Math.exp(-8 * light)),
  (light) => light * (1 + 0.06 * Math.log10(Math.max(light, 1e-4) / 0.75)),
];

const seenDensity = (camera: (light: number) => number, density: number, flare: number): number =>
  -Math.log10(camera(0.75 * (10 ** -density + flare)) / camera(0.75 * (1 + flare)));

describe("densityWithoutFlare", () => {
  it("takes off what stray light adds", () => {
    // Source: camera-photometry note: 1 % of paper white turns 2.0 into 1.70, 1.5 into 1.38, 1.0 into 0.96.
    for (const [seen, density, rounding] of [
      [1.7, 2, 0.03],
      [1.38, 1.5, 0.015],
      [0.96, 1, 0.006],
    ] as const)
      expect(Math.abs(densityWithoutFlare(seen, 0.01) - density)).toBeLessThan(rounding);
    expect(densityWithoutFlare(0, 0.01)).toBeCloseTo(0, 12);
    expect(densityWithoutFlare(2.2, 0.01)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("cameraSigmaOf", () => {
  it.each([
    ["pale steps", 0.2, 0.6],
    ["middle steps", 0.6, 1.1],
    ["deep steps", 1.1, 1.5],
  ])("is about as large as what six unknown cameras do to %s", (_what, from, to) => {
    const random = seededRandom(2026);
    const shares: number[] = [];
    for (const camera of cameras) {
      for (let run = 0; run < 200; run++) {
        const density = from + (to - from) * random.uniform();
        const red = seenDensity(camera, density, 0.02 * random.uniform());
        shares.push((density - red) / cameraSigmaOf(red, unknownCamera));
      }
    }
    const rms = Math.sqrt(shares.reduce((sum, share) => sum + share ** 2, 0) / shares.length);
    expect(rms).toBeGreaterThan(0.8);
    expect(rms).toBeLessThan(1.2);
  });

  it("is nothing where the tone is known, and never beyond what can be meant", () => {
    const known = { ...unknownCamera, toneKnown: true };
    expect(cameraSigmaOf(1.4, known)).toBe(0);
    expect(cameraSigmaOf(0, unknownCamera)).toBe(0);
    expect(cameraSigmaOf(3, unknownCamera)).toBeLessThanOrEqual(0.5);
  });
});
