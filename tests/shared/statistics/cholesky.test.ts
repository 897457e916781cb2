import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { choleskyFactor, choleskySolve, forwardSubstitute, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";

const seed = Number(process.env["FC_SEED"] ?? 1);

describe("choleskyFactor", () => {
  // The textbook's worked example with whole numbers, from memory; its determinant is (2 x 1 x 3) squared.
  const matrix = Float64Array.from([4, 12, -16, 12, 37, -43, -16, -43, 98]);
  const factor = choleskyFactor(matrix, 3);

  it("of the textbook's example, finds the whole numbers", () => {
    expect([...factor]).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3]);
    expect(logDeterminantOf(factor, 3)).toBeCloseTo(Math.log(36), 12);
  });

  it("solves forward only, and both ways", () => {
    expect([...forwardSubstitute(factor, [2, 7, 0])]).toEqual([1, 1, 1]);
    // 4 + 24 - 48, 12 + 74 - 129, -16 - 86 + 294 for x = 1, 2, 3
    expect([...choleskySolve(factor, [-20, -43, 192])].map((value) => Math.round(value * 1e9) / 1e9)).toEqual([
      1, 2, 3,
    ]);
  });

  it("when the matrix is not positive, refuses, or lifts the pivot that it was given", () => {
    const flat = Float64Array.from([1, 1, 1, 1]);
    expect(() => choleskyFactor(flat, 2)).toThrow(RangeError);
    expect([...choleskyFactor(flat, 2, { leastPivot: 1e-12 })]).toEqual([1, 0, 1, 1e-6]);
  });

  it("when something is not a number, refuses", () => {
    expect(() => choleskyFactor(Float64Array.of(Number.NaN), 1)).toThrow(RangeError);
  });

  it("in a band, gives what the whole matrix gives", () => {
    const n = 7;
    const banded = Float64Array.from({ length: n * n }, (_, at) => {
      const apart = Math.abs(Math.floor(at / n) - (at % n));
      return [6, -2, 0.5][apart] ?? 0;
    });
    expect(choleskyFactor(banded, n, { band: 2 })).toEqual(choleskyFactor(banded, n));
    const right = Float64Array.from({ length: n }, (_, i) => Math.sin(i));
    const whole = choleskySolve(choleskyFactor(banded, n), right);
    choleskySolve(choleskyFactor(banded, n, { band: 2 }), right, 2).forEach((value, i) =>
      expect(value).toBeCloseTo(whole[i]!, 14),
    );
  });

  it("solves the normal equations as the orthogonal method solves the design", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: -9, max: 9, noNaN: true })), {
          minLength: 6,
          maxLength: 20,
        }),
        (points) => {
          const design = points.map(([x], i) => [1, x + i, (x + i) ** 2 / 10]);
          const response = points.map(([, y]) => y);
          const product = (a: number, b: number) => design.reduce((sum, row) => sum + row[a]! * row[b]!, 0);
          const normal = Float64Array.from([0, 1, 2].flatMap((a) => [0, 1, 2].map((b) => product(a, b))));
          const right = [0, 1, 2].map((a) => design.reduce((sum, row, i) => sum + row[a]! * response[i]!, 0));
          const solved = choleskySolve(choleskyFactor(normal, 3), right);
          const { coefficients } = linearLeastSquares({ design, response });
          coefficients.forEach((value, i) => expect(solved[i]!).toBeCloseTo(value, 5));
        },
      ),
      { seed, numRuns: 100 },
    );
  });
});
