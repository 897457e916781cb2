import { describe, expect, it } from "vitest";
import { axisWords, plotStretch } from "#shared/format/plot-stretch.ts";
import { axisReader, plotTable } from "#shared/format/plot-table.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import { timeAxis } from "#shared/format/time-axis.ts";

const labelsOf = (seconds: readonly number[]): string[] =>
  timeAxis("time", seconds.map(Math.log10)).ticks.map(({ label }) => label);

describe("timeAxis", () => {
  it("holds all times and ticks at times that a clock is set to, each far from the next", () => {
    const axis = timeAxis("time", [Math.log10(1.3), Math.log10(1800)]);
    expect(axis.min).toBeLessThan(Math.log10(1.3));
    expect(axis.max).toBeGreaterThan(Math.log10(1800));
    expect(labelsOf([1.3, 1800])).toEqual(["2 s", "5 s", "0:10", "0:30", "1:00", "2:00", "5:00", "10:00", "20:00"]);
    const gaps = axis.ticks.slice(1).map(({ at }, index) => at - (axis.ticks[index]?.at ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(0.08 * (axis.max - axis.min));
  });

  it("where no two round times lie between its ends, ticks at the ends", () => {
    expect(labelsOf([130, 140])).toHaveLength(2);
  });

  it("refuses to be an axis of nothing", () => {
    expect(() => timeAxis("time", [Number.NaN])).toThrow(RangeError);
  });

  it("is read as times, in a table and in a stretch of it", () => {
    const x = timeAxis("time in clear light", [0, 3]);
    expect(axisReader(x)(Math.log10(90))).toBe("1:30");
    expect(axisWords(x, Math.log10(90))).toBe("1:30");
    const points = [0, 1, 2, 3].map((at) => ({ x: at, y: at }));
    const spec: PlotSpec = {
      ...{ title: "", summary: "", x, y: { label: "density", min: 0, max: 3, ticks: [] } },
      series: [{ name: "curve", kind: "line", points }],
    };
    expect(plotTable(spec).rows.map((row) => row.x)).toEqual(["1 s", "0:10", "1:40", "16:40"]);
    const stretch = plotStretch(spec, { from: 1, to: 2 }, spec.series);
    expect(stretch.x.ticks.map(({ label }) => label)).toEqual(["0:10", "0:30", "1:00"]);
  });
});
