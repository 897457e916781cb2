import { describe, expect, it } from "vitest";
import { linearLeastSquares } from "#shared/statistics/linear-least-squares.ts";
import { agreeingDigits } from "../../support/agreeing-digits.ts";
import { nistSets } from "../../support/nist-strd.ts";

// Digits that a QR solution reaches in double precision are measured in the reference notes; the marks lie just below.
const pass: Record<string, number> = { Norris: 11, Pontius: 10, Filip: 6, Longley: 9, Wampler1: 8, Wampler2: 11 };

describe("linearLeastSquares on certified problems", () => {
  const sets = nistSets("linear");
  it("has all six sets", () => expect(sets.map((set) => set.name).sort()).toEqual(Object.keys(pass).sort()));
  it.each(sets)("$name", (set) => {
    const powers = set.name === "Longley" ? null : set.certified.length;
    const design = set.x.map((row) =>
      powers === null ? [1, ...row] : Array.from({ length: powers }, (_, k) => row[0]! ** k),
    );
    const fit = linearLeastSquares({ design, response: set.y });
    const digits = pass[set.name]!;
    fit.coefficients.forEach((value, j) =>
      expect(agreeingDigits(value, set.certified[j]!), `b${j}`).toBeGreaterThan(digits),
    );
    expect(fit.degreesOfFreedom).toBe(set.degreesOfFreedom);
    if (set.residualSumSquares > 0) {
      expect(agreeingDigits(fit.residualSumSquares, set.residualSumSquares)).toBeGreaterThan(6);
      const variance = fit.residualSumSquares / fit.degreesOfFreedom;
      set.standardErrors.forEach((certified, j) =>
        expect(
          agreeingDigits(Math.sqrt(fit.unscaledCovariance[j]![j]! * variance), certified),
          `error of b${j}`,
        ).toBeGreaterThan(6),
      );
    }
  });
});

describe("linearLeastSquares", () => {
  it("with weights, follows the sure points", () => {
    const fit = linearLeastSquares({ design: [[1], [1]], response: [0, 1], sigma: [1, 0.5] });
    expect(fit.coefficients[0]).toBeCloseTo(0.8, 12);
    expect(fit.unscaledCovariance[0]![0]).toBeCloseTo(1 / 5, 12);
  });
  it("with dependent columns, refuses", () => {
    expect(() =>
      linearLeastSquares({
        design: [
          [1, 2],
          [2, 4],
          [3, 6],
        ],
        response: [1, 2, 3],
      }),
    ).toThrow(RangeError);
  });
});
