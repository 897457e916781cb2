import { describe, expect, it } from "vitest";
import { levelAccount } from "#shared/studio-model/one-combination.ts";

const account = (...times: readonly number[]) =>
  levelAccount(times.map((logSeconds) => ({ logSeconds, sigma: 0.015 })));
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

describe("tests of one combination held against each other", () => {
  it("when they agree, are alike, and the level is their middle", () => {
    const { alikeShare, logSeconds, settledShare } = account(2.7, 2.71, 2.69, 2.7);
    expect(alikeShare).toBeGreaterThan(0.9);
    expect(logSeconds).toBeCloseTo(2.7, 2);
    expect(settledShare).toBeGreaterThan(0.95);
  });

  it("when two contradict each other, leave both possible", () => {
    // 0:24 and 1:24.
    const { settledShare, blunders } = account(1.38, 1.924);
    expect(settledShare).toBeLessThan(0.3);
    expect(Math.abs(blunders[0]! - blunders[1]!)).toBeLessThan(0.02);
  });

  it("when one of five is far off, take it for a blunder and keep the level and the scatter", () => {
    const { blunders, logSeconds, printSpread, settledShare } = account(2, 2.01, 2.3, 2.01, 2);
    expect(blunders[2]).toBeGreaterThan(0.7);
    expect(logSeconds).toBeCloseTo(2.005, 2);
    expect(printSpread).toBeLessThan(0.03);
    expect(settledShare).toBeGreaterThan(0.9);
  });

  it("when the last two agree on another speed, say that something changed before them", () => {
    const { changedBefore, logSeconds } = account(2, 2.01, 1.99, 2, 2.15, 2.16);
    expect(changedBefore[4]).toBeGreaterThan(0.8);
    expect(logSeconds).toBeCloseTo(2.155, 2);
  });

  it("when all times grow by the same, say the same", () => {
    const [a, b] = [account(2, 2.05, 1.98, 2.2), account(3.1, 3.15, 3.08, 3.3)];
    expect(b.logSeconds - a.logSeconds).toBeCloseTo(1.1, 6);
    expect(b.alikeShare).toBeCloseTo(a.alikeShare, 6);
    expect(sum(b.changedBefore)).toBeCloseTo(sum(a.changedBefore), 6);
  });

  it("when the sums are made by hand for two tests in one scatter, are the same", () => {
    // Change against none, for two normal-like tests with the scatter known: the closed form for Gaussian errors is
    // sd of the difference sqrt(2) w without a change, and sqrt(2 w^2 + 0.15^2) with one. Student's tails make it
    // differ a little.
    const w = Math.hypot(0.02, 0.015);
    const difference = 0.06;
    const known = levelAccount(
      [2, 2 + difference].map((logSeconds) => ({ logSeconds, sigma: 0.015 })),
      { median: 0.02, logSigma: 1e-6 },
    );
    const density = (sd: number): number => Math.exp(-0.5 * (difference / sd) ** 2) / sd;
    const expected = (0.024 * density(Math.hypot(Math.SQRT2 * w, 0.15))) / (0.976 * density(Math.SQRT2 * w));
    const odds = sum(known.changedBefore) / (1 - sum(known.changedBefore));
    expect(odds / expected).toBeGreaterThan(0.7);
    expect(odds / expected).toBeLessThan(1.4);
  });
});
