import { describe, expect, it } from "vitest";
import { nearestPoint, pointAfterKey, readablePlot, readPoints } from "#shared/format/plot-reading.ts";
import type { PlotSpec } from "#shared/format/plot.ts";

const spec: PlotSpec = {
  title: "t",
  summary: "s",
  x: { label: "log H", min: 0, max: 4, ticks: [] },
  y: { label: "density", min: 0, max: 2, ticks: [] },
  series: [
    { name: "range", kind: "band", points: [{ x: 2, y: 1, lower: 0.5, upper: 1.5 }] },
    {
      name: "curve",
      kind: "line",
      points: [
        { x: 4, y: 2 },
        { x: 0, y: 0 },
        { x: 2.123456789, y: 1 },
      ],
    },
    {
      name: "steps",
      kind: "points",
      points: [
        { x: 1, y: 1.5, label: "step 7: 1.50" },
        { x: 3, y: 0.5, lower: 0.4, upper: 0.6 },
      ],
    },
    { name: "marks", kind: "marks", points: [{ x: 2, y: 2, label: "shoulder" }] },
  ],
};
// A paper of 400 by 200 units: one unit of log H is 100, one of density 100, from below.
const frame = { left: 0, top: 0, right: 400, bottom: 200 };

describe("reading a plot", () => {
  const points = readPoints(spec, frame);

  it("places the points of every series but bands, from left to right", () => {
    expect(points.map((series) => series.map(({ x, y }) => [Math.round(x), Math.round(y)]))).toEqual([
      [
        [0, 200],
        [212, 100],
        [400, 0],
      ],
      [
        [100, 50],
        [300, 150],
      ],
      [[200, 0]],
    ]);
  });

  it("says the name of a point that holds its figure, and else the figures on both axes with their range", () => {
    expect(points[1]?.map(({ words }) => words)).toEqual([
      "step 7: 1.50",
      "steps: log H 3.00; density 0.50 (0.40 to 0.60)",
    ]);
    expect(points[0]?.[0]?.words).toBe("curve: log H 0.00; density 0.00");
    expect(points[2]?.[0]?.words).toBe("shoulder: log H 2.00; density 2.00");
  });

  it("says whose point it is where several series name theirs", () => {
    const [, steps] = spec.series.filter(({ kind }) => kind !== "band");
    const two = { ...spec, series: [steps!, { ...steps!, name: "steps of the other" }] };
    expect(readPoints(two, frame).map(([first]) => first?.words)).toEqual([
      "steps: step 7: 1.50",
      "steps of the other: step 7: 1.50",
    ]);
  });

  it("finds the point nearest to a place; in a plot without points none", () => {
    expect(nearestPoint(points, { x: 290, y: 140 })).toEqual({ series: 1, index: 1 });
    expect(nearestPoint(points, { x: 5, y: 190 })).toEqual({ series: 0, index: 0 });
    expect(nearestPoint([], { x: 0, y: 0 })).toBeNull();
  });

  it("goes along a series by left and right, to the end and no further", () => {
    const first = pointAfterKey(points, null, "ArrowRight");
    expect(first).toEqual({ series: 0, index: 0 });
    expect(pointAfterKey(points, null, "ArrowLeft")).toEqual({ series: 0, index: 2 });
    expect(pointAfterKey(points, { series: 0, index: 2 }, "ArrowRight")).toEqual({ series: 0, index: 2 });
    expect(pointAfterKey(points, { series: 0, index: 1 }, "ArrowLeft")).toEqual(first);
  });

  it("goes to the next series by up and down, near the same x", () => {
    expect(pointAfterKey(points, { series: 0, index: 2 }, "ArrowDown")).toEqual({ series: 1, index: 1 });
    expect(pointAfterKey(points, { series: 2, index: 0 }, "ArrowDown")).toEqual({ series: 2, index: 0 });
    expect(pointAfterKey(points, { series: 1, index: 1 }, "ArrowUp")).toEqual({ series: 0, index: 1 });
  });

  it("leaves other keys alone, and a plot without points", () => {
    expect(pointAfterKey(points, null, "Enter")).toBeNull();
    expect(pointAfterKey([], null, "ArrowRight")).toBeNull();
  });

  it("goes out to the page whole, without digits that no screen shows, and reads the same", () => {
    const sent = readablePlot(spec);
    expect(sent.series.map(({ name }) => name)).toEqual(["range", "curve", "steps", "marks"]);
    expect(sent.series[0]?.points).toEqual([{ x: 2, y: 1, lower: 0.5, upper: 1.5 }]);
    expect(sent.series[1]?.points[2]?.x).toBe(2.1235);
    expect(readPoints(sent, frame).map((series) => series.map(({ words }) => words))).toEqual(
      points.map((series) => series.map(({ words }) => words)),
    );
  });
});
