import { describe, expect, it } from "vitest";
import { seededRandom } from "#shared/statistics/random.ts";

describe("seededRandom", () => {
  it("repeats itself for a seed and differs between seeds", () => {
    const draw = (s: number) => {
      const random = seededRandom(s);
      return Array.from({ length: 5 }, random.uniform);
    };
    expect(draw(4)).toEqual(draw(4));
    expect(draw(4)).not.toEqual(draw(5));
  });
  it("has the mean and spread it promises", () => {
    const random = seededRandom(11);
    const values = Array.from({ length: 50_000 }, random.normal);
    const mean = values.reduce((a, b) => a + b) / values.length;
    expect(Math.abs(mean)).toBeLessThan(0.02);
    expect(Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length)).toBeCloseTo(1, 1);
  });
});
