import { describe, expect, it } from "vitest";
import { noCamera, unknownCamera } from "#shared/reading/camera/camera-term.ts";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

/**
 * Invented: what the coating does to a step for certain and is known of, grain of the paper that looks like noise, and
 * the camera's noise.
 */
const sizes = { coating: 0.004, grain: 0.003, noise: 0.006 };
const stated = Math.hypot(sizes.coating, sizes.grain, sizes.noise);
const steps = 21;

function reading(reds: readonly number[], own: Partial<MeasuredReading> = {}): MeasuredReading {
  const at = [0, 0] as [number, number];
  return {
    image: { width: 100, height: 100, bitsPerChannel: 8, profile: { code: "srgb", name: "" } },
    location: { method: "given", corners: [at, at, at, at], confidence: 1 },
    steps: reds.map((red, i) => ({
      index: i + 1,
      input: i,
      red,
      visual: red / 2,
      lightness: 50,
      sigma: stated,
      sigmaVisual: stated / 2,
      commonSigma: sizes.coating,
      centre: at,
      box: [at, at, at, at],
      flags: [],
    })),
    warnings: [],
    ...own,
  };
}

/** Pictures of one print whose true densities are all 1. */
function pictures(count: number, random: Random): MeasuredReading[] {
  const print = Array.from(
    { length: steps },
    () => 1 + sizes.coating * random.normal() + sizes.grain * random.normal(),
  );
  return Array.from({ length: count }, () => reading(print.map((red) => red + sizes.noise * random.normal())));
}

describe("averageReadings", () => {
  it.each([2, 3, 5, 9])("of %i pictures states what the mean is really off by, and narrows", (count) => {
    const random = seededRandom(40 + count);
    let [squares, statedSum, n] = [0, 0, 0];
    for (let run = 0; run < 100; run++) {
      const mean = averageReadings(pictures(count, random));
      for (const step of mean.steps) {
        squares += ((step.red - 1) / step.sigma) ** 2;
        statedSum += step.sigma;
        n++;
      }
    }
    expect(Math.sqrt(squares / n)).toBeGreaterThan(0.93);
    expect(Math.sqrt(squares / n)).toBeLessThan(1.07);
    const ideal = Math.sqrt(sizes.coating ** 2 + sizes.grain ** 2 + sizes.noise ** 2 / count);
    expect(statedSum / n).toBeLessThan(1.07 * ideal);
    expect(statedSum / n).toBeLessThan(stated);
  });

  it("of one file sent several times narrows nothing to speak of", () => {
    const [one] = pictures(1, seededRandom(1));
    const mean = averageReadings([one!, one!, one!]);
    expect(mean.steps[3]!.red).toBeCloseTo(one!.steps[3]!.red, 12);
    expect(mean.steps[3]!.sigma).toBeGreaterThan(0.96 * stated);
  });

  it("of pictures that differ by more than they say grows less sure than one", () => {
    const random = seededRandom(8);
    const wild = [0, 1, 2].map(() => reading(Array.from({ length: steps }, () => 1 + 0.03 * random.normal())));
    expect(averageReadings(wild).steps[0]!.sigma).toBeGreaterThan(1.3 * stated);
  });

  it("keeps the unchecked camera of any of them, which no number of pictures takes away", () => {
    const camera = unknownCamera;
    const known = noCamera;
    const [first, second] = pictures(2, seededRandom(2));
    const unsure = { ...second!, camera, steps: second!.steps.map((step) => ({ ...step, cameraSigma: 0.1 })) };
    const mean = averageReadings([{ ...first!, camera: known }, unsure]);
    expect(mean.camera).toEqual(camera);
    expect(mean.steps[0]!.cameraSigma).toBe(0.1);
  });
});
