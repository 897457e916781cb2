import { describe, expect, it } from "vitest";
import { driftOf, retestDue, type DriftTest } from "#shared/lookup/drift.ts";
import { driftWords } from "#shared/words/drift-words.ts";
import { poolLogSeconds } from "#shared/lookup/pool-log-seconds.ts";

const tests = (...logSeconds: readonly number[]): DriftTest[] =>
  logSeconds.map((value, index) => ({
    id: `t${index}`,
    madeAt: new Date(Date.UTC(2026, index, 3)).toISOString(),
    logSeconds: value,
    sigmaLogSeconds: 0.02,
  }));

describe("driftOf", () => {
  it("when there are two tests, says nothing", () => {
    expect(driftOf(tests(2.7, 2.9))).toBeNull();
  });

  it("when the tests scatter as they measure, advises nothing", () => {
    const drift = driftOf(tests(2.7, 2.72, 2.69, 2.71, 2.7, 2.72));
    expect(drift?.isRetestAdvised).toBe(false);
    expect(driftWords(drift!)).toContain("agree");
  });

  it("when the newest needs half a stop more, advises a test, whatever the order they come in", () => {
    const drift = driftOf(tests(2.7, 2.72, 2.69, 2.71, 2.705, 2.86).reverse());
    expect(drift?.isRetestAdvised).toBe(true);
    expect(drift?.newestStops).toBeCloseTo((2.86 - 2.705) / Math.log10(2), 6);
    expect(driftWords(drift!)).toContain("0.5 stop slower");
  });

  it("when the tests scatter far beyond their own ranges, says that they disagree and what to do", () => {
    // Their 95 % ranges are +-0.04 and lie apart, while the moving range is as wide as the scatter, so the chart has no signal.
    const drift = driftOf(tests(2.5, 2.9, 2.55, 2.95));
    expect(drift?.chart.signal).toBeNull();
    expect(drift).toMatchObject({ doTestsDisagree: true, isRetestAdvised: true });
    expect(driftWords(drift!)).not.toContain("agree with each other");
    expect(driftWords(drift!)).toMatch(/The tests disagree.*Repeat the test.*lamp, coating batch, wash/);
  });

  it("when the tests are pooled, agrees with that about whether they disagree", () => {
    for (const logSeconds of [
      [2.7, 2.72, 2.69],
      [2.7, 2.76, 2.73],
      [2.6, 2.8, 2.7],
      [2.5, 2.9, 2.55, 2.95],
    ]) {
      const pooled = poolLogSeconds(
        logSeconds.map((value) => ({ logSeconds: value, sigma: 0.02, degreesOfFreedom: 100_000, lower: 0, upper: 0 })),
      );
      expect(driftOf(tests(...logSeconds))?.doTestsDisagree).toBe(pooled.doTestsDisagree);
    }
  });

  it("when the spread between tests is tiny, still allows for coating and measurement", () => {
    expect(driftOf(tests(2.7, 2.7, 2.7, 2.74))?.isRetestAdvised).toBe(false);
  });
});

describe("retestDue", () => {
  it("when the test was made in late August, is due half a year on", () => {
    expect(retestDue("2026-08-31T10:00:00+02:00", 240)).toEqual({ on: "2027-02-28", atLampHours: 340 });
    expect(retestDue("2026-05-01T10:00:00Z", null)).toEqual({ on: "2026-11-01", atLampHours: null });
  });
});
