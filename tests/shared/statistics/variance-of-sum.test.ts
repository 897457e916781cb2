// Held against cases that the law of propagation answers by hand.
import { describe, expect, it } from "vitest";
import { varianceOfSum } from "#shared/statistics/variance-of-sum.ts";

describe("the variance of a weighted sum", () => {
  it("adds squares where nothing is shared", () => {
    expect(
      varianceOfSum(
        [1, 2],
        [
          [9, 0],
          [0, 4],
        ],
      ),
    ).toBe(25);
  });

  it("counts what two values share twice, with its sign", () => {
    const covariance = [
      [9, 3],
      [3, 4],
    ];
    expect(varianceOfSum([1, 1], covariance)).toBe(19);
    expect(varianceOfSum([1, -1], covariance)).toBe(7);
  });

  it("is nothing for a value less itself, and never below", () => {
    expect(
      varianceOfSum(
        [1, -1],
        [
          [1, 1 + 1e-12],
          [1 + 1e-12, 1],
        ],
      ),
    ).toBe(0);
  });
});
