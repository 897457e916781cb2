import { describe, expect, it } from "vitest";
import { coverageRow, simulatedAnswer } from "../../bench/curve-coverage.ts";
import { simulatedSecondTest } from "../../bench/studio/second-tests.ts";

// A small sample of what the bench measures over hundreds of tests; limits are loose enough for its size, and seeds are
// none that the method was tuned on.
describe("advised times over simulated coatings outside the fitted family", () => {
  it("come near the truth and hold it within their ranges", () => {
    const answers = Array.from({ length: 42 }, (_, i) => simulatedAnswer(60_000 + i));
    const row = coverageRow("sample", answers);
    expect(row.answeredPercent).toBeGreaterThan(90);
    expect(row.medianErrorStops).toBeLessThan(0.08);
    expect(row.ninetyPercentErrorStops).toBeLessThan(0.2);
    // 95 % held would be 40 of 42; 36 or fewer happens by chance once in a hundred.
    expect(row.heldPercent).toBeGreaterThan(86);
    expect(row.medianHalfRangeStops).toBeLessThan(0.22);
  });
  it("after a bad first test, the next one is good", () => {
    const tests = Array.from({ length: 24 }, (_, i) => simulatedSecondTest(61_000 + i));
    const bad = tests.filter((test) => test.secondVerdict !== "none asked");
    expect(bad.length).toBeGreaterThan(15);
    expect(bad.filter((test) => !test.isGood).length).toBeLessThanOrEqual(2);
  });
});
