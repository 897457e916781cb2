import { describe, expect, it } from "vitest";
import { shortestRange } from "#shared/statistics/shortest-range.ts";

const count = 20_000;
/** Values that cut a distribution into equal shares. */
const ranked = (valueAt: (share: number) => number): number[] =>
  Array.from({ length: count }, (_, i) => valueAt((i + 0.5) / count));

describe("shortestRange", () => {
  // Waiting times with mean 1: densest at 0, so that 95 % end at ln 20 = 2.996. Equal tails: 0.025 to 3.689.
  it("of values that lie densest at one end, begins there", () => {
    const { lower, upper } = shortestRange(
      ranked((share) => -Math.log(1 - share)),
      0.95,
    );
    expect(lower).toBeLessThan(0.001);
    expect(upper).toBeCloseTo(Math.log(20), 2);
  });

  // A triangle that rises from 0 to 1: 95 % lie above the root of 0.05.
  it("of values that lie densest at the upper end, ends there", () => {
    const { lower, upper } = shortestRange(ranked(Math.sqrt), 0.95);
    expect(lower).toBeCloseTo(Math.sqrt(0.05), 3);
    expect(upper).toBeGreaterThan(0.9999);
  });

  // A logistic: its quantiles are known exactly, 95 % within ln(0.975 / 0.025) = 3.664.
  it("of values that fall off alike to both sides, leaves equal shares beyond both ends", () => {
    const { lower, upper } = shortestRange(
      ranked((share) => Math.log(share / (1 - share))),
      0.95,
    );
    expect(lower).toBeCloseTo(-Math.log(39), 1);
    expect(upper).toBeCloseTo(Math.log(39), 1);
  });

  it("of a rare crowd above a dense one, keeps the dense one whole", () => {
    const values = [...ranked((share) => share), ...Array.from({ length: count / 25 }, (_, i) => 5 + i)];
    const { lower, upper } = shortestRange(values, 0.95);
    expect(lower).toBeLessThan(0.02);
    expect(upper).toBeLessThan(1);
  });

  it("of one value, is that value; of none, is refused", () => {
    expect(shortestRange([3], 0.95)).toEqual({ lower: 3, upper: 3 });
    expect(() => shortestRange([], 0.95)).toThrow(RangeError);
  });
});
