import { describe, expect, it } from "vitest";
import type { ComparedTest, TestPair } from "#shared/schema/comparisons.ts";
import { shortLabels, timeMatrix, timesAgainst } from "#src/web/comparisons/time-matrix.ts";

const test = (id: string, bareSeconds: number | null): ComparedTest => ({
  id,
  label: id,
  lampId: "l",
  supportId: "s",
  coatingId: "c",
  filmId: null,
  channel: "red",
  bareSeconds,
  curve: null,
});
const pair = (firstId: string, secondId: string, ratio: number | null): TestPair => {
  const range = (value: number) => ({ value, lower: value / 1.15, upper: value * 1.15 });
  return {
    firstId,
    secondId,
    timeRatio: ratio === null ? null : range(ratio),
    speedRatio: ratio === null ? null : range(1 / ratio),
    logExposureRangeDifference: null,
    averageGradientDifference: null,
    dMaxDifference: null,
    dMinDifference: null,
    pooled: null,
    sentence: "",
    warnings: [],
  };
};
const [paper, cotton, silk] = [test("Paper", 648), test("Cotton", 862), test("Silk", null)];

describe("labels of tests side by side", () => {
  it("leave out what all share, unless nothing or too little would be left", () => {
    expect(shortLabels(["Paper, Blue, Box", "Cotton, Blue, Box"])).toEqual(["Paper", "Cotton"]);
    expect(shortLabels(["Paper, Blue", "Paper, Blue"])).toEqual(["Paper, Blue", "Paper, Blue"]);
    expect(shortLabels(["First", "Paper, Blue"])).toEqual(["First", "Paper, Blue"]);
  });
});

describe("times of tests against each other", () => {
  it("says both times, how many times, and stops with their range", () => {
    const [told] = timesAgainst(paper!, [paper!, cotton!], [pair("Paper", "Cotton", 1.33)]);
    expect(told?.sentence).toBe("Cotton 14:22 is 1.33 times Paper 10:48 (+0.4 stop, 0.2 to 0.6).");
  });

  it("when the pair is kept the other way round, turns it", () => {
    const [told] = timesAgainst(cotton!, [paper!, cotton!], [pair("Paper", "Cotton", 2)]);
    expect(told?.sentence).toMatch(/^Paper 10:48 is 0\.50 times Cotton 14:22 \(−1\.0 stop, −1\.2 to −0\.8\)/);
  });

  it("when a range holds one, says that it may be chance", () => {
    const [told] = timesAgainst(paper!, [paper!, cotton!], [pair("Paper", "Cotton", 1.1)]);
    expect(told?.sentence).toMatch(/no more than chance\.$/);
  });

  it("when one has no time, says none", () => {
    expect(timesAgainst(paper!, [paper!, silk!], [pair("Paper", "Silk", null)])).toEqual([
      { label: "Silk", sentence: null, bar: null },
    ]);
  });

  it("of three shows all against all, of two nothing", () => {
    const tests = [paper!, cotton!, silk!];
    const pairs = [pair("Paper", "Cotton", 2), pair("Paper", "Silk", null), pair("Cotton", "Silk", null)];
    expect(timeMatrix(tests, pairs).map(({ cells }) => cells.map(({ text }) => text))).toEqual([
      ["1", "0.50×", "–"],
      ["2.00×", "1", "–"],
      ["–", "–", "1"],
    ]);
    expect(timeMatrix(tests.slice(0, 2), pairs)).toEqual([]);
  });
});
