import { describe, expect, it } from "vitest";
import { resultFolds } from "#src/web/tests/summaries/result-folds.ts";

const row = (index: number, flags = "") => ({
  ...{ index, input: "0.05", red: "1.60", visual: "0.70", lightness: "52.0", sigma: "0.010", swatch: 8 },
  flags,
});
const part = (source: string, stops: string) => ({
  ...{ source, stops, remedy: "", percent: "50 %" },
  bar: { x: 0, width: 50, opacity: 1 },
});
const depth = (depth: string, time: string, isShare = true) => ({ depth, time, isShare, range: "–", missing: "1.0" });

const facts = {
  reasons: ["One reason.", "Another."],
  depths: [depth("90 %", "10:00"), depth("the eye sees no deeper blue", "13:00", false), depth("99 %", "18:00")],
  budget: [part("From print to print", "0.39"), part("Film base", "0.22"), part("Tablet", "0.10")],
  stepTable: { zero: "paper", inputLabel: "tablet density", rows: [row(1), row(2), row(3)] },
  figures: [
    { term: "Log exposure range", value: "1.55", meaning: "" },
    { term: "D-max", value: "1.65", meaning: "" },
    { term: "D-min", value: "0.00", meaning: "" },
  ],
  conditions: [
    { term: "Made", value: "11 April 2026" },
    { term: "Exposed for", value: "30:00" },
  ],
};

describe("resultFolds", () => {
  it("tells the gist of each part, at most two things of a list", () => {
    expect(resultFolds(facts)).toEqual({
      reasons: "2 sentences",
      depths: "90 % at 10:00, 99 % at 18:00",
      budget: "from print to print 0.39 stop, film base 0.22 stop",
      steps: "3, none flagged",
      figures: "Log exposure range 1.55, D-max 1.65",
      conditions: "made 11 April 2026, exposed for 30:00",
    });
  });

  it("names the flagged steps where they are few, and counts them where they are many", () => {
    const flagged = (numbers: number[]) => ({
      ...facts.stepTable,
      rows: Array.from({ length: 9 }, (_, index) => row(index + 1, numbers.includes(index + 1) ? "glare" : "")),
    });
    expect(resultFolds({ ...facts, stepTable: flagged([2, 7]) }).steps).toBe("9, flagged: 2, 7");
    expect(resultFolds({ ...facts, stepTable: flagged([1, 2, 3, 4, 5]) }).steps).toBe("9, 5 flagged");
  });

  it("when no depth has a time in the strip, says none", () => {
    expect(resultFolds({ ...facts, depths: [depth("90 %", "not in this strip")] }).depths).toBe("");
  });
});
