import { describe, expect, it } from "vitest";
import { bisection, lastIndexBelow } from "#shared/statistics/bisection.ts";

describe("bisection", () => {
  it("finds where the cosine meets its own angle", () => {
    // The fixed point of the cosine, 0.7390851332151607 (from memory; OEIS A003957).
    const { low, high, middle } = bisection({ low: 0, high: 1, isBelow: (x) => x < Math.cos(x) });
    expect(middle).toBeCloseTo(0.7390851332151607, 15);
    expect(low).toBeLessThanOrEqual(0.7390851332151607);
    expect(high).toBeGreaterThanOrEqual(0.73908513321516);
  });

  it("when told how narrow is enough, stops there", () => {
    let asked = 0;
    const isBelow = (x: number) => {
      asked += 1;
      return x < 700;
    };
    const { low, high } = bisection({ low: 0, high: 1024, isBelow, width: 1 });
    expect(asked).toBe(10);
    expect(low).toBe(699);
    expect(high).toBe(700);
  });

  it("when nothing turns, ends beside the end that is nearest", () => {
    expect(bisection({ low: 2, high: 3, isBelow: () => true }).middle).toBeCloseTo(3, 12);
    expect(bisection({ low: 2, high: 3, isBelow: () => false }).low).toBe(2);
  });
});

describe("lastIndexBelow", () => {
  const rising = [0, 1, 1, 1, 4, 9];
  it.each([
    [-5, 0],
    [0.5, 0],
    [1, 0],
    [1.5, 3],
    [4, 3],
    [8, 4],
    [99, 4],
  ])("below %f stands index %i", (value, index) => expect(lastIndexBelow(rising, value)).toBe(index));
});
