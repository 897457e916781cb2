import { describe, expect, it } from "vitest";
import { degreesTogether, effectiveDegrees, studentT95 } from "#shared/statistics/student-t.ts";

describe("studentT95", () => {
  // Printed table of Student's t, two-sided 95 %, three decimals: from memory, the same in every statistics handbook.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [5, 2.571],
    [10, 2.228],
    [20, 2.086],
    [30, 2.042],
    [120, 1.98],
  ])("%i degrees of freedom: %f", (freedom, printed) => {
    expect(Math.abs(studentT95(freedom) - printed)).toBeLessThan(0.0006);
  });
  it("without degrees of freedom, refuses", () => expect(() => studentT95(0)).toThrow(RangeError));
});

describe("degrees of freedom of a sum of variances", () => {
  const judged = (variance: number, degreesOfFreedom: number) => ({ variance, degreesOfFreedom });
  // Closed forms of Satterthwaite's equation.
  it("of one alone are its own", () => expect(effectiveDegrees([judged(0.3, 7)])).toBeCloseTo(7, 10));
  it("of two equal ones are both together", () =>
    expect(effectiveDegrees([judged(2, 9), judged(2, 9)])).toBeCloseTo(18, 10));
  it("beside as much that is known, are four times as many", () =>
    expect(effectiveDegrees([judged(2, 5), judged(2, Infinity)])).toBeCloseTo(20, 10));
  it("where all is known, are without end", () => expect(effectiveDegrees([judged(2, Infinity)])).toBe(Infinity));
});

describe("degrees of freedom of variances that go up and down together", () => {
  const judged = (variance: number, degreesOfFreedom: number) => ({ variance, degreesOfFreedom });
  it("of one alone are its own", () => expect(degreesTogether([judged(0.3, 7)])).toBeCloseTo(7, 10));
  it("of two alike are no more than of one", () =>
    expect(degreesTogether([judged(2, 9), judged(3, 9)])).toBeCloseTo(9, 10));
  it("beside as much that is known, are four times as many", () =>
    expect(degreesTogether([judged(2, 5), judged(2, Infinity)])).toBeCloseTo(20, 10));
  it("of any two, are fewer than of independent ones", () => {
    const parts = [judged(0.8, 20), judged(0.2, 4.5)];
    expect(degreesTogether(parts)).toBeLessThan(effectiveDegrees(parts));
  });
  it("where all is known, are without end", () => expect(degreesTogether([judged(2, Infinity)])).toBe(Infinity));
});
