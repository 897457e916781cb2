import { medianAbsoluteDeviation } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { seededRandom } from "#shared/statistics/random.ts";
import { belonging, biweight, huberWeight, median, middleAndSpread, robustSigma } from "#shared/statistics/robust.ts";

describe("median and robustSigma", () => {
  it("of an even count, takes the mean of the two middle values", () => expect(median([4, 1, 2, 9])).toBe(3));
  it("leaves its list as it was", () => {
    const values = [3, 1, 2];
    median(values);
    expect(values).toEqual([3, 1, 2]);
  });
  it("one wild value in five moves neither far", () => {
    expect(median([1, 2, 3, 4, 900])).toBe(3);
    expect(robustSigma([1, 2, 3, 4, 900])).toBeCloseTo(1.4826, 4);
  });
  it("is the package's median absolute deviation, scaled to the normal distribution", () => {
    const random = seededRandom(3);
    const values = Array.from({ length: 64 }, () => random.normal());
    expect(robustSigma(values)).toBeCloseTo(1.4826022185 * medianAbsoluteDeviation(values), 9);
  });
  it("of normal noise, finds its standard deviation", () => {
    const random = seededRandom(7);
    expect(robustSigma(Array.from({ length: 20_000 }, () => 3 * random.normal()))).toBeCloseTo(3, 1);
  });
  it("of nothing, refuses", () => expect(() => median([])).toThrow(RangeError));
});

describe("middleAndSpread", () => {
  it("of many pixels, agrees with the sorted way and leaves them as they were", () => {
    const random = seededRandom(11);
    const values = Float64Array.from({ length: 5001 }, () => 40 + 2 * random.normal());
    const before = values.slice();
    const { middle, spread } = middleAndSpread(values);
    expect(middle).toBe(median([...values]));
    expect(spread).toBeCloseTo(robustSigma([...values]), 12);
    expect(values).toEqual(before);
  });
});

describe("weights of residuals", () => {
  it("Huber: full for small ones, falling as one over the size", () => {
    expect(huberWeight(1)).toBe(1);
    expect(huberWeight(-13.45)).toBeCloseTo(0.1, 9);
  });
  it("Tukey: smooth, and none from 4.685 on", () => {
    // (1 - (1/2)^2)^2 = 9/16 half way
    expect(biweight(0)).toBe(1);
    expect(biweight(4.685 / 2)).toBeCloseTo(9 / 16, 12);
    expect(biweight(-4.685)).toBe(0);
    expect(biweight(50)).toBe(0);
  });
});

describe("belonging", () => {
  it("finds the wild value of the handbook's kind, and no other", () => {
    // Modified z-scores 0.6745 x / MAD: 2.0 has 0.6745 x 2 / 0.3 = 4.5 > 3.5; 1.5 has 3.4.
    expect(belonging([0.1, -0.3, 0.2, -0.3, 1.5, 0.3, 2])).toEqual([true, true, true, true, true, true, false]);
  });
  it("when nearly all fit exactly, keeps differences of rounding", () => {
    expect(belonging([0, 0, 0, 0, 1e-12, 0.1])).toEqual([true, true, true, true, true, false]);
  });
  it("of nothing, gives nothing", () => expect(belonging([])).toEqual([]));
});
