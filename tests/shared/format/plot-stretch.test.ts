import { describe, expect, it } from "vitest";
import { dayAxis } from "#shared/format/day-axis.ts";
import { axisWords, plotStretch } from "#shared/format/plot-stretch.ts";
import { plotAxis, type PlotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { stretchWords } from "#shared/words/stretch-words.ts";

const spec: PlotSpec = {
  title: "t",
  summary: "s",
  x: plotAxis("log H", [0, 4]),
  y: plotAxis("density", [0, 2], { from: 0 }),
  series: [
    {
      name: "curve",
      kind: "line",
      points: [
        { x: 0, y: 0 },
        { x: 4, y: 2 },
      ],
    },
    { name: "steps", kind: "points", points: [{ x: 2, y: 1, lower: 0.2, upper: 1.8 }] },
  ],
};
const hours: PlotAxis = {
  label: "time of day (Amsterdam)",
  min: 0,
  max: 12,
  ticks: [
    { at: 0, label: "08:00" },
    { at: 3, label: "11:00" },
  ],
};

describe("a stretch of a plot", () => {
  it("leaves the whole plot its own axes", () => {
    expect(plotStretch(spec, { from: 0, to: 4 }, spec.series)).toBe(spec);
  });

  it("runs from end to end, with round ticks between, and holds what is seen there", () => {
    const [curve] = spec.series;
    const { x, y, series } = plotStretch(spec, { from: 1.9, to: 2.1 }, [curve!]);
    expect([x.min, x.max]).toEqual([1.9, 2.1]);
    expect(x.ticks.every(({ at }) => at >= 1.9 - 1e-9 && at <= 2.1 + 1e-9)).toBe(true);
    expect(x.ticks.length).toBeGreaterThan(3);
    // The line rises from 0.95 to 1.05 in this stretch, which has no point of it: round ticks of 0.02 hold that.
    expect(y.min).toBeCloseTo(0.94, 9);
    expect(y.max).toBeCloseTo(1.06, 9);
    expect(series).toEqual([curve]);
  });

  it("holds the bars of the points that are seen, and nothing of those that are not", () => {
    const steps = spec.series[1]!;
    const seen = plotStretch(spec, { from: 1, to: 3 }, [steps]).y;
    expect(seen.min).toBeLessThanOrEqual(0.2 + 1e-9);
    expect(seen.max).toBeGreaterThanOrEqual(1.8 - 1e-9);
    expect(plotStretch(spec, { from: 3, to: 4 }, [steps]).y).toBe(spec.y);
  });

  it("refuses a stretch without length", () => {
    expect(() => plotStretch(spec, { from: 2, to: 2 }, spec.series)).toThrow(RangeError);
  });

  it("counts the hours of a day on round times", () => {
    const { x } = plotStretch({ ...spec, x: hours }, { from: 2.2, to: 4.1 }, spec.series);
    expect(x.ticks.map(({ label }) => label)).toEqual([
      "10:15",
      "10:30",
      "10:45",
      "11:00",
      "11:15",
      "11:30",
      "11:45",
      "12:00",
    ]);
  });

  it("says its ends in the words of the axis", () => {
    expect(stretchWords(hours, { from: 2.5, to: 4 })).toBe("time of day (Amsterdam): 10:30 to 12:00");
    expect(stretchWords(spec.x, { from: 1, to: 2.5 })).toBe("log H: 1.00 to 2.50");
    const exposure = { ...spec.x, readAs: "log-seconds" } as const;
    expect(stretchWords(exposure, { from: 1, to: Math.log10(240) })).toBe(
      "log H 1.00 to 2.38: 0:10 to 4:00 in clear light",
    );
    const days = dayAxis("day", [Date.UTC(2026, 0, 5), Date.UTC(2026, 6, 1)]);
    expect(axisWords(days, Date.UTC(2026, 2, 12) / 86_400_000)).toBe("12 Mar 2026");
    const march = { from: Date.UTC(2026, 2, 1) / 86_400_000, to: Date.UTC(2026, 2, 6) / 86_400_000 };
    const labels = plotStretch({ ...spec, x: days }, march, spec.series).x.ticks.map(({ label }) => label);
    expect(labels).toEqual(["1 Mar", "2 Mar", "3 Mar", "4 Mar", "5 Mar", "6 Mar"]);
  });
});
