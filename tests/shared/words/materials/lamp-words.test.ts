// What is said of a lamp: the sentence follows the numbers.
import { describe, expect, it } from "vitest";
import { reciprocityWords } from "#shared/words/materials/lamp-words.ts";
import { safetyWords } from "#shared/words/safety-words.ts";

describe("reciprocityWords", () => {
  it.each([
    [{ exponent: 1.02, lower: 0.9, upper: 1.2 }, "Half the light for twice the time gives the same print"],
    [{ exponent: 0.8, lower: 0.7, upper: 0.9 }, "Weak light needs more than its share of time."],
    [{ exponent: 1.4, lower: 1.2, upper: 1.7 }, "the size of the lamp may be entered wrongly"],
    [{ exponent: 0.8, lower: null, upper: null }, "two tests leave nothing to judge the scatter by"],
  ])("of %o says: %s", (found, said) => {
    expect(reciprocityWords(found)).toContain(said);
  });
});

describe("safetyWords", () => {
  it("tells the day of the last backup and what was added since, one and many", () => {
    const said = (testsSince: number, daysSince: number) =>
      safetyWords({ lastBackupAt: "2026-05-01T10:00:00Z", testsSince, daysSince });
    expect(said(0, 9)).toContain("no test has been added since");
    expect(said(1, 0)).toMatch(/today; 1 test since\.$/);
    expect(said(3, 1)).toMatch(/1 day ago; 3 tests since\.$/);
    expect(safetyWords({ lastBackupAt: null, testsSince: 2, daysSince: null })).toContain("2 tests here, and never");
  });
});
