import { describe, expect, it } from "vitest";
import { studentT95 } from "#shared/statistics/student-t.ts";

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
