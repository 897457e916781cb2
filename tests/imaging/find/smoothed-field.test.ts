import { describe, expect, it } from "vitest";
import { smoothed } from "#src/imaging/find/smoothed-field.ts";

/** Ways to choose k of n things. */
const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k);

describe("smoothing a field", () => {
  it.each([1, 2, 5, 14])("%d times over, spreads a point as the binomial distribution does", (times) => {
    const side = 41;
    const values = new Float32Array(side * side);
    values[20 * side + 20] = 1;
    const spread = smoothed({ width: side, height: side, values }, times).values;
    for (const [dx, dy] of [
      [0, 0],
      [1, 0],
      [-1, 1],
      [2, -3],
    ] as const) {
      const share = (d: number): number => (Math.abs(d) > times ? 0 : choose(2 * times, times + d) / 2 ** (2 * times));
      expect(spread[(20 + dy) * side + 20 + dx]).toBeCloseTo(share(dx) * share(dy), 6);
    }
  });

  it("that is the same everywhere, leaves it so up to its edges", () => {
    const even = { width: 9, height: 7, values: new Float32Array(63).fill(0.5) };
    expect([...smoothed(even, 5).values]).toEqual([...even.values]);
  });
});
