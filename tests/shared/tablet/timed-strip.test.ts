import { describe, expect, it } from "vitest";
import { doublingSeries, totalsFromWaits, waitsFromTotals } from "#shared/tablet/timed-strip.ts";

describe("strips uncovered in steps", () => {
  it("when a series doubles, each step has half the time of the one before", () => {
    expect(doublingSeries({ longestSeconds: 640, steps: 4, stops: 1 })).toEqual([640, 320, 160, 80]);
  });

  it("when steps are half a stop apart, two of them make a stop", () => {
    const series = doublingSeries({ longestSeconds: 1800, steps: 5, stops: 0.5 });
    expect(series[2]).toBe(900);
    expect(series[1]).toBe(Math.round(1800 / Math.SQRT2));
  });

  it("when the cover is moved by the waits, the steps get their totals", () => {
    const totals = doublingSeries({ longestSeconds: 960, steps: 8, stops: 1 });
    expect(totalsFromWaits(waitsFromTotals(totals))).toEqual(totals);
  });

  it("when the totals do not fall, refuses", () => {
    expect(() => waitsFromTotals([60, 60, 30])).toThrow(RangeError);
  });
});
