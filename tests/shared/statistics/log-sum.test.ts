import { describe, expect, it } from "vitest";
import { logSum } from "#shared/statistics/log-sum.ts";

describe("logarithm of a sum of exponentials", () => {
  it("is the logarithm of what the exponentials add to", () => {
    expect(logSum([Math.log(2), Math.log(3), Math.log(5)])).toBeCloseTo(Math.log(10), 14);
  });

  it("holds where the exponentials themselves would overflow or vanish", () => {
    expect(logSum([1000, 1000])).toBeCloseTo(1000 + Math.LN2, 12);
    expect(logSum([-1000, -Infinity])).toBe(-1000);
    expect(logSum([-Infinity, -Infinity])).toBe(-Infinity);
  });
});
