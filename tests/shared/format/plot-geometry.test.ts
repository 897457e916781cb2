import { describe, expect, it } from "vitest";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import { placeOnAxis, plotGeometry } from "#shared/format/plot-geometry.ts";

const spec: PlotSpec = {
  title: "t",
  summary: "s",
  x: plotAxis("x", [0, 10], { count: 5 }),
  y: plotAxis("y", [0, 2], { count: 4, from: 0 }),
  lines: [{ x: 5, label: "now" }],
  series: [
    {
      name: "band",
      kind: "band",
      points: [
        { x: 0, y: 1, lower: 0.5, upper: 1.5 },
        { x: 10, y: 1, lower: 0, upper: 2 },
      ],
    },
    {
      name: "line",
      kind: "line",
      points: [
        { x: 0, y: 0 },
        { x: 10, y: 2 },
      ],
    },
    {
      name: "dots",
      kind: "points",
      look: 4,
      points: [{ x: 5, y: 1, lower: -9, upper: 99, label: "five", leftOut: true }],
    },
  ],
};
const frame = { left: 100, top: 50, right: 300, bottom: 250 };

describe("plotGeometry", () => {
  const { xTicks, yTicks, lines, series } = plotGeometry(spec, frame);

  it("lays the axes' ends on the frame, y upwards, and every tick in proportion between them", () => {
    expect(xTicks.map(({ at }) => at)).toEqual([100, 140, 180, 220, 260, 300]);
    expect(yTicks.map(({ at, label }) => [at, label])).toEqual([
      [250, "0.0"],
      [200, "0.5"],
      [150, "1.0"],
      [100, "1.5"],
      [50, "2.0"],
    ]);
    expect(lines).toEqual([{ x: 200, label: "now" }]);
  });

  it("draws a line through its points, and round a band along its upper edge and back along its lower one", () => {
    const [band, line] = series;
    expect(line!.path).toEqual([
      { x: 100, y: 250 },
      { x: 300, y: 50 },
    ]);
    expect(band!.path).toEqual([
      { x: 100, y: 100 },
      { x: 300, y: 50 },
      { x: 300, y: 250 },
      { x: 100, y: 200 },
    ]);
  });

  it("holds error bars that leave the axes at the frame", () => {
    expect(series[2]).toMatchObject({ look: 4, path: [] });
    expect(series[2]!.points).toEqual([{ x: 200, y: 150, lowerY: 250, upperY: 50, label: "five", leftOut: true }]);
  });
});

describe("placeOnAxis", () => {
  it("held at both ends, whatever is asked", () => {
    const place = placeOnAxis(spec.x, 0, 1);
    expect([-1e9, 0, 2.5, 10, 1e9].map(place)).toEqual([0, 0, 0.25, 1, 1]);
  });
});
