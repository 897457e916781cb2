import { describe, expect, it } from "vitest";
import { predictLogSpeed, type LogSpeedTest } from "#shared/lookup/additive-log-speed.ts";
import { crossValidate, simulatedStudio } from "../../support/simulated-studio.ts";

const test = (lampId: string, supportId: string, coatingId: string, logSeconds: number): LogSpeedTest => ({
  lampId,
  supportId,
  coatingId,
  logSeconds,
  sigma: 0.01,
});

describe("the time of an untested combination", () => {
  it("over simulated studios, lies in the 95 % range 90 to 98 times in 100", () => {
    const checks = Array.from({ length: 24 }, (_, n) =>
      crossValidate(simulatedStudio(9000 + n), predictLogSpeed),
    ).flat();
    expect(checks.length).toBeGreaterThan(200);
    const held = checks.filter((check) => check.isHeld).length / checks.length;
    expect(held).toBeGreaterThanOrEqual(0.9);
    expect(held).toBeLessThanOrEqual(0.98);
    const errors = checks.map((check) => Math.abs(check.error)).sort((a, b) => a - b);
    // Half of the predictions within a third of a stop (0.1 in log10).
    expect(errors[errors.length >> 1]).toBeLessThan(0.1);
  });

  it("follows the sum of what lamp and support do elsewhere", () => {
    const tests = [
      test("A", "paper", "blue", 2.5),
      test("A", "cotton", "blue", 2.7),
      test("A", "linen", "blue", 2.6),
      test("B", "paper", "blue", 2.9),
      test("B", "linen", "blue", 3.0),
    ];
    const prediction = predictLogSpeed(tests, { lampId: "B", supportId: "cotton", coatingId: "blue" })!;
    // 2.9 on B's paper and cotton's 0.2 above paper make 3.1; few tests draw it a little towards the middle.
    expect(prediction.logSeconds).toBeGreaterThan(3.0);
    expect(prediction.logSeconds).toBeLessThan(3.12);
    expect(prediction.sharing).toEqual({ lamp: 2, support: 1, coating: 5 });
  });

  it("shifts with all times alike, and is not moved by the order of the tests", () => {
    const tests = simulatedStudio(5);
    const wanted = { lampId: "lamp 0", supportId: "support 1", coatingId: "coating 0" };
    const here = predictLogSpeed(tests, wanted)!;
    const reversed = predictLogSpeed([...tests].reverse(), wanted)!;
    expect(reversed.logSeconds).toBeCloseTo(here.logSeconds, 6);
    const longer = predictLogSpeed(
      tests.map((each) => ({ ...each, logSeconds: each.logSeconds + 0.2 })),
      wanted,
    )!;
    expect(longer.logSeconds - here.logSeconds).toBeCloseTo(0.2, 1);
  });

  it("is surer the more is known: nothing shared, lamp shared, all three tested", () => {
    const tests = simulatedStudio(11);
    const width = (lampId: string, supportId: string, coatingId: string): number => {
      const prediction = predictLogSpeed(tests, { lampId, supportId, coatingId })!;
      return prediction.upper - prediction.lower;
    };
    const known = tests[0]!;
    expect(width("new", "new", "new")).toBeGreaterThan(width(known.lampId, "new", "new"));
    expect(width(known.lampId, "new", "new")).toBeGreaterThan(width(known.lampId, known.supportId, known.coatingId));
  });

  it("with one test of another lamp, draws little from it", () => {
    const prediction = predictLogSpeed([test("A", "paper", "blue", 2.5)], {
      lampId: "B",
      supportId: "paper",
      coatingId: "blue",
    })!;
    expect(prediction.upper - prediction.lower).toBeGreaterThan(0.8);
    expect(predictLogSpeed([], { lampId: "B", supportId: "paper", coatingId: "blue" })).toBeNull();
  });
});
