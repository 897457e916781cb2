import { describe, expect, it } from "vitest";
import { naturalCubic, naturalCubicAt } from "#shared/statistics/natural-cubic.ts";

describe("naturalCubic", () => {
  it("through a peak of three points, is the closed form y = 3/2 t - 1/2 t^3 on each side", () => {
    // With no bend at the ends and equal widths the middle bend is -3: textbook, worked by hand.
    const curve = naturalCubic([0, 1, 2], [0, 1, 0]);
    expect(curve.bends).toEqual([0, -3, 0]);
    for (const t of [0, 0.1, 0.25, 0.5, 0.9, 1]) {
      expect(naturalCubicAt(curve, t)).toBeCloseTo(1.5 * t - 0.5 * t ** 3, 12);
      expect(naturalCubicAt(curve, 2 - t)).toBeCloseTo(1.5 * t - 0.5 * t ** 3, 12);
    }
  });

  it("on unequal widths, passes the points with one slope and one bend from both sides", () => {
    const x = [0, 3, 4, 9, 20];
    const y = [1, -2, 5, 5, 0];
    const curve = naturalCubic(x, y);
    x.forEach((at, index) => expect(naturalCubicAt(curve, at)).toBeCloseTo(y[index]!, 12));
    const step = 1e-4;
    for (const at of [3, 4, 9]) {
      const slope = (from: number) => (naturalCubicAt(curve, from + step) - naturalCubicAt(curve, from)) / step;
      expect(slope(at)).toBeCloseTo(slope(at - step), 2);
    }
  });

  it("through points of a line, is the line; points that do not rise are refused", () => {
    const curve = naturalCubic([0, 1, 5], [2, 4, 12]);
    expect(naturalCubicAt(curve, 3.3)).toBeCloseTo(8.6, 12);
    expect(() => naturalCubic([0, 0], [1, 2])).toThrow(RangeError);
    expect(() => naturalCubic([0], [1])).toThrow(RangeError);
  });
});
