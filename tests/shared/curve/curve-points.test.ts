import { describe, expect, it } from "vitest";
import { logHAtShare } from "#shared/curve/curve-at.ts";
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { curvePoints } from "#shared/curve/curve-points.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";

// Worked example of the ISO 6846-style points: D = 0.08 + 2.00 / (1 + exp(-4 (log H - 1.2))), solved in closed form.
const worked = {
  toe: 0.227045,
  mid: 0.988176,
  shoulder: 1.749306,
  logExposureRange: 1.522261,
  averageGradient: 1.15618,
};
const density = (logH: number) => 0.08 + 2 / (1 + Math.exp(-4 * (logH - 1.2)));
const shape = {
  dMin: 0.08,
  dMax: 2.08,
  samples: Array.from({ length: 4001 }, (_, i) => ({
    logH: -1 + i / 1000,
    density: density(-1 + i / 1000),
    lower: 0,
    upper: 0,
  })),
};

describe("curvePoints", () => {
  it("on the worked example, gives toe, mid, shoulder, range and average gradient", () => {
    const { points, logExposureRange, averageGradient } = curvePoints(shape, { lowest: -1, highest: 3 });
    expect(points.toe!.logH).toBeCloseTo(worked.toe, 5);
    expect(points.mid!.logH).toBeCloseTo(worked.mid, 5);
    expect(points.shoulder!.logH).toBeCloseTo(worked.shoulder, 5);
    expect(points.toe!.density).toBeCloseTo(0.12, 9);
    expect(points.mid!.density).toBeCloseTo(0.68, 9);
    expect(points.shoulder!.density).toBeCloseTo(1.88, 9);
    expect(logExposureRange).toBeCloseTo(worked.logExposureRange, 5);
    // The printed gradient is rounded from a rounded range.
    expect(averageGradient).toBeCloseTo(worked.averageGradient, 4);
  });
  it("where the steps end before the shoulder, leaves it out with all that needs it", () => {
    const { points, logExposureRange, averageGradient } = curvePoints(shape, { lowest: -1, highest: 1.7 });
    expect(points.toe).not.toBeNull();
    expect(points.shoulder).toBeNull();
    expect(logExposureRange).toBeNull();
    expect(averageGradient).toBeNull();
  });
  it("fitted from its own exact steps, the worked example comes back", () => {
    const steps = Array.from({ length: 21 }, (_, i): CurveStep => {
      const logH = 2.95 - 0.15 * i;
      return { index: i + 1, logH, sigmaLogH: 0, density: density(logH), sigma: 0.001, isFlagged: false };
    });
    const curve = fitCharacteristicCurve({ channel: "red", steps })!;
    expect(curve.family).toBe("symmetric-sigmoid");
    expect(curve.points.toe!.logH).toBeCloseTo(worked.toe, 4);
    expect(curve.points.mid!.logH).toBeCloseTo(worked.mid, 4);
    expect(logHAtShare(curve, 0.9)).toBeCloseTo(worked.shoulder, 4);
    expect(curve.averageGradient).toBeCloseTo(worked.averageGradient, 4);
  });
});
