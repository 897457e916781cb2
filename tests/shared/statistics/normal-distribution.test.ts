import { describe, expect, it } from "vitest";
import {
  errorFunctionAt,
  normalShareBelow,
  quartileSigmas,
  rangeSigmas,
} from "#shared/statistics/normal-distribution.ts";

describe("the normal distribution", () => {
  // Abramowitz and Stegun 1964, table 7.1 (error function), from memory.
  it.each([
    [0, 0],
    [0.5, 0.5204998778],
    [1, 0.8427007929],
    [1.5, 0.9661051465],
    [2, 0.995322265],
    [-1, -0.8427007929],
  ])("the error function of %f is %f", (x, printed) => {
    expect(Math.abs(errorFunctionAt(x) - printed)).toBeLessThan(1.2e-7);
  });

  // Abramowitz and Stegun 1964, table 26.1 (normal probability function), from memory.
  it.each([
    [-4, 0.0000316712],
    [-3, 0.001349898],
    [-1, 0.1586552539],
    [0, 0.5],
    [0.5, 0.6914624613],
    [2, 0.9772498681],
    [3, 0.998650102],
  ])("below %f lies a share of %f", (z, printed) => {
    expect(Math.abs(normalShareBelow(z) - printed)).toBeLessThan(6e-8);
  });

  it("a quarter lies beyond the quartile, a fortieth beyond the end of the 95 % range", () => {
    expect(Math.abs(normalShareBelow(-quartileSigmas) - 0.25)).toBeLessThan(6e-8);
    expect(Math.abs(normalShareBelow(rangeSigmas) - 0.975)).toBeLessThan(6e-8);
  });
});
