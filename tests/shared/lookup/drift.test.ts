import { describe, expect, it } from "vitest";
import { driftOf, retestDue, type DriftTest } from "#shared/lookup/drift.ts";
import { driftWords } from "#shared/words/materials/drift-words.ts";

const tests = (...logSeconds: readonly number[]): DriftTest[] =>
  logSeconds.map((value, index) => ({
    id: `t${index}`,
    madeAt: new Date(Date.UTC(2026, index, 3)).toISOString(),
    logSeconds: value,
    sigmaLogSeconds: 0.02,
  }));

describe("driftOf", () => {
  it("when there is one test, says nothing", () => {
    expect(driftOf(tests(2.7))).toBeNull();
  });

  it("when two tests contradict each other, says so at once", () => {
    // 0:24 and 1:24.
    expect(driftOf(tests(1.38, 1.924))).toMatchObject({ isRetestAdvised: true });
    expect(driftOf(tests(2.7, 2.73))?.isRetestAdvised).toBe(false);
  });

  it("when three new tests agree on another speed, says since when, and no longer that they disagree", () => {
    const drift = driftOf(tests(2.7, 2.71, 2.69, 2.7, 2.71, 2.69, 2.85, 2.86, 2.85));
    expect(drift).toMatchObject({ doTestsDisagree: false, isRetestAdvised: true });
    expect(drift?.changedAt?.slice(0, 7)).toBe("2026-07");
    expect(driftWords(drift!)).toContain("What changed");
  });

  it("when the tests scatter as they measure, advises nothing", () => {
    const drift = driftOf(tests(2.7, 2.72, 2.69, 2.71, 2.7, 2.72));
    expect(drift?.isRetestAdvised).toBe(false);
    expect(driftWords(drift!)).toContain("agree");
  });

  it("when the newest stands where the others do, says that and no size of nought", () => {
    const words = driftWords(driftOf(tests(2.7, 2.71, 2.705))!);
    expect(words).toContain("the newest stands where the mean of the others does");
    expect(words).not.toContain("0.0 stop");
  });

  it("when the newest needs half a stop more, advises a test, whatever the order they come in", () => {
    const drift = driftOf(tests(2.7, 2.72, 2.69, 2.71, 2.705, 2.86).reverse());
    expect(drift?.isRetestAdvised).toBe(true);
    expect(drift?.newestStops).toBeCloseTo((2.86 - 2.705) / Math.log10(2), 6);
    expect(driftWords(drift!)).toContain("0.5 stop slower");
  });

  it("when the tests scatter far beyond their own ranges, says that they disagree and what to do", () => {
    const drift = driftOf(tests(2.5, 2.9, 2.55, 2.95));
    expect(drift).toMatchObject({ doTestsDisagree: true, isRetestAdvised: true });
    expect(driftWords(drift!)).not.toContain("agree with each other");
    expect(driftWords(drift!)).toMatch(/The tests disagree.*Repeat the test.*lamp, coating batch, wash/);
  });

  it("when the spread between tests is tiny, still allows for coating and measurement", () => {
    expect(driftOf(tests(2.7, 2.7, 2.7, 2.74))?.isRetestAdvised).toBe(false);
  });
});

describe("retestDue", () => {
  it("when the test was made in late August, is due half a year on", () => {
    expect(retestDue("2026-08-31T10:00:00+02:00", 240, "2027-02-28")).toEqual({
      on: "2027-02-28",
      atLampHours: 340,
      isOverdue: false,
    });
    expect(retestDue("2026-05-01T10:00:00Z", null, "2026-11-26T09:00:00Z")).toEqual({
      on: "2026-11-01",
      atLampHours: null,
      isOverdue: true,
    });
  });
});
