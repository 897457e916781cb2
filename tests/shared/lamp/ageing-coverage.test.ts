import { expect, it } from "vitest";
import { lampAgeing } from "#shared/lamp/lamp-ageing.ts";
import { seededRandom } from "#shared/statistics/random.ts";

// Simulated: a lamp loses 0.02 log in 100 hours, tests scatter by 0.025 about that.
it.each([5, 6, 8, 12])("from %i tests of an ageing lamp, holds its slope in 93 to 97 of 100", (n) => {
  const random = seededRandom(7_000 + n);
  const trials = 1_500;
  let held = 0;
  for (let trial = 0; trial < trials; trial++) {
    const speeds = Array.from({ length: n }, (_, i) => {
      const hours = 100 * i + 60 * random.uniform();
      return { hours, logSpeed: -0.0002 * hours + 0.025 * random.normal() };
    });
    const { lowerPer100Hours, upperPer100Hours } = lampAgeing(speeds);
    if (lowerPer100Hours! <= -0.02 && upperPer100Hours! >= -0.02) held++;
  }
  expect(held / trials).toBeGreaterThan(0.93);
  expect(held / trials).toBeLessThan(0.97);
});

it("from four tests, claims no slope", () => {
  const speeds = [0, 100, 200, 300].map((hours) => ({ hours, logSpeed: -0.0002 * hours }));
  expect(lampAgeing(speeds).slopePer100Hours).toBeNull();
});
