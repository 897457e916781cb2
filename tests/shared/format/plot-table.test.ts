import { describe, expect, it } from "vitest";
import { axisReader, plotTable } from "#shared/format/plot-table.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";

const spec: PlotSpec = {
  title: "Drift",
  summary: "Stops by test.",
  x: plotAxis("test", [0, 10]),
  y: plotAxis("stops", [-1, 1]),
  series: [
    {
      name: "tests",
      kind: "points",
      points: [{ x: 1, y: 0.5, lower: 0.25, upper: 0.75, label: "May", leftOut: true }],
    },
    { name: "mean", kind: "line", points: Array.from({ length: 101 }, (_, x) => ({ x: x / 10, y: 0 })) },
  ],
  lines: [{ x: 3, label: "now" }],
};

describe("a plot in figures", () => {
  it("tells every point with its range, name and whether it was left out", () => {
    expect(plotTable(spec).rows[0]).toEqual({
      series: "tests",
      x: "1.0",
      y: "0.50",
      range: "0.25 to 0.75",
      label: "May, left out",
    });
  });

  it("tells a long line by some points, its ends among them, and says so", () => {
    const { rows, isShortened } = plotTable(spec);
    const line = rows.filter(({ series }) => series === "mean");
    expect(line).toHaveLength(12);
    expect([line[0]?.x, line.at(-1)?.x]).toEqual(["0.0", "10.0"]);
    expect(isShortened).toBe(true);
    expect(rows.at(-1)).toMatchObject({ series: "line across", x: "3.0", label: "now" });
  });

  it("reads an axis with times of day by the clock, over midnight too", () => {
    const ticks = [
      { at: 2, label: "22:00" },
      { at: 4, label: "00:00" },
    ];
    const read = axisReader({ label: "time of day", min: 0, max: 10, ticks });
    expect([2, 3.25, 4.5].map(read)).toEqual(["22:00", "23:15", "00:30"]);
  });
});
