import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { plotAxis } from "#shared/format/plot.ts";
import { svgPlot } from "#src/web/parts/svg-plot.ts";

describe("plotAxis", () => {
  it("puts round ticks round the values", () => {
    const axis = plotAxis("density above paper", [0.03, 1.41], { from: 0 });
    expect(axis.ticks.map((tick) => tick.label)).toEqual(["0.0", "0.5", "1.0", "1.5"]);
    expect([axis.min, axis.max]).toEqual([0, 1.5]);
  });

  it("holds every value it was given, with 3 to 14 ticks", () => {
    const values = fc.array(fc.double({ min: -1e4, max: 1e4, noNaN: true }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(values, (list) => {
        const axis = plotAxis("x", list);
        const slack = 1e-6 * (axis.max - axis.min);
        return (
          list.every((value) => value >= axis.min - slack && value <= axis.max + slack) &&
          axis.ticks.length >= 3 &&
          axis.ticks.length <= 14
        );
      }),
      { seed: 11 },
    );
  });

  it("refuses to invent an axis without values", () => {
    expect(() => plotAxis("x", [Number.NaN])).toThrow(RangeError);
  });
});

describe("svgPlot", () => {
  it("puts the ends of the axes on the frame and never draws outside it", () => {
    const x = plotAxis("log H", [0, 3]);
    const y = plotAxis("density above paper", [0, 1.5], { from: 0 });
    const drawn = svgPlot({
      title: "t",
      summary: "s",
      x,
      y,
      series: [
        {
          name: "steps",
          kind: "points",
          points: [
            { x: x.min, y: 0 },
            { x: x.max, y: 1.5, lower: 1.4, upper: 1.8 },
          ],
        },
      ],
    });
    const [first, last] = drawn.series[0]?.points ?? [];
    expect([first?.x, first?.y]).toEqual([drawn.frame.left, drawn.frame.bottom]);
    expect([last?.x, last?.y, last?.upperY]).toEqual([drawn.frame.right, drawn.frame.top, drawn.frame.top]);
  });
});
